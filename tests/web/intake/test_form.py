from werkzeug.datastructures import MultiDict

from app.store.db.clock import new_id
from app.web.intake.form import sent_fields
from tests.web.conftest import Garage


def test_the_fields_that_were_sent_keep_their_order_and_leave_the_token_out(garage: Garage) -> None:
    sent = MultiDict([("pos", "2"), ("csrf_token", "secret"), ("pos", "1"), ("act", "off")])

    with garage.app.test_request_context(method="POST", data=sent):
        assert sent_fields().pairs == (("pos", "2"), ("pos", "1"), ("act", "off"))


def test_a_page_sent_twice_lands_once(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    form = {"verb": "mark", "act": "placed", "line_id": new_id()}

    for _ in range(2):
        assert garage.helper.post(f"/i/{item}/line", **form).status_code in {302, 303}

    assert garage.rows("SELECT id FROM journal WHERE verb = 'mark'") == [(form["line_id"],)]
