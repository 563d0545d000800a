from tests.web.conftest import Garage


def test_a_plain_form_lands_as_the_line_that_a_phone_would_send(garage: Garage) -> None:
    build = garage.one("SELECT id FROM build")
    form = {"verb": "stop", "body.note": "rain", "line_id": "a" * 32}

    for _ in range(2):
        assert garage.helper.post("/b/1/stop", **form).status_code in {302, 303}

    assert garage.rows("SELECT subject, body FROM journal WHERE verb = 'stop'") == [
        (f"build:{build}", '{"note": "rain"}')
    ]
