import pytest

from tests.web.conftest import Garage

STEP = {"name": "Drop the belly pan", "height": "stands", "people": "2", "minutes": "20", "direction": "both"}


def test_a_step_is_added_changed_moved_and_deleted(garage: Garage) -> None:
    garage.owner.post("/b/1/steps", **STEP)
    step = garage.one("SELECT id FROM step WHERE name = ?", STEP["name"])
    last = garage.one("SELECT position FROM step WHERE id = ?", step)
    garage.owner.post(f"/steps/{step}", what="earlier")
    assert garage.one("SELECT position FROM step WHERE id = ?", step) == last - 1
    garage.owner.post(f"/steps/{step}", rev="1", **{**STEP, "minutes": "45"})
    assert garage.one("SELECT minutes FROM step WHERE id = ?", step) == 45
    stale = garage.owner.post(f"/steps/{step}", rev="1", **{**STEP, "minutes": "50"})
    assert (stale.status_code, 'value="50"' in stale.text) == (409, True)
    garage.owner.post(f"/steps/{step}", what="delete")
    assert garage.rows("SELECT 1 FROM step WHERE id = ?", step) == []


def test_a_step_that_items_belong_to_is_not_deleted(garage: Garage) -> None:
    step = garage.one("SELECT id FROM step WHERE direction = 'both'")
    garage.item("part", step=step)
    garage.owner.post(f"/steps/{step}", what="delete")
    assert garage.rows("SELECT 1 FROM step WHERE id = ?", step) == [(1,)]
    assert "Give them another step first" in garage.owner.get("/b/1/steps").text


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", " "),
        ("people", "0"),
        ("people", "10"),
        ("minutes", "-1"),
        ("minutes", "soon"),
        ("height", "moon"),
        ("direction", "up"),
    ],
)
def test_a_step_out_of_range_is_refused(garage: Garage, field: str, value: str) -> None:
    step, before = garage.one("SELECT id FROM step"), garage.everything()
    for address in ("/b/1/steps", f"/steps/{step}"):
        assert garage.owner.post(address, rev="1", **{**STEP, field: value}).status_code == 422
    assert garage.everything() == before
