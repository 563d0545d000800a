"""Places, photos in the tray, and printed sheets."""

import pytest

from tests.web.conftest import Garage


def place(garage: Garage, name: str, parent: str = "") -> str:
    assert garage.helper.post("/b/1/places", name=name, parent=parent).status_code == 302
    return str(garage.one("SELECT id FROM place WHERE name = ?", name))


def test_places_nest_and_all_that_lies_in_one_goes_along(garage: Garage) -> None:
    shelf = place(garage, "shelf A")
    crate = place(garage, "crate 3", shelf)
    item = garage.item("part", name="Pump", place="crate 3")
    assert "crate 3 → shelf A" in garage.helper.get(f"/i/{item}").text
    shed = place(garage, "shed")
    garage.helper.post(f"/places/{shelf}/move", place=shed)
    assert "crate 3 → shelf A → shed" in garage.helper.get(f"/i/{item}").text
    assert "Pump" in garage.helper.get(f"/places/{crate}").text


def test_a_place_does_not_go_into_itself_or_into_what_lies_in_it(garage: Garage) -> None:
    shelf = place(garage, "shelf A")
    crate = place(garage, "crate 3", shelf)
    before = garage.everything()
    for target in (shelf, crate):
        garage.helper.post(f"/places/{shelf}/move", place=target)
    assert garage.everything() == before
    assert "cannot stand in itself" in garage.helper.get(f"/places/{shelf}").text
    assert garage.helper.post(f"/places/{shelf}/move", place="0" * 32).status_code == 404


def test_two_phones_that_put_two_places_into_each_other_make_no_page_fail(garage: Garage) -> None:
    shelf, crate = place(garage, "shelf A"), place(garage, "crate 3")
    for inner, outer in ((shelf, crate), (crate, shelf)):
        entry = garage.mark("", "") | {"subject": f"place:{inner}", "verb": "move", "body": {"place": outer}}
        entry["after"] = [
            row[0] for row in garage.rows("SELECT id FROM journal WHERE subject = ?", f"place:{inner}")
        ]
        assert garage.helper.send(entry).status_code == 200
    for address in ("/b/1/places", f"/places/{shelf}", f"/places/{crate}"):
        assert garage.helper.get(address).status_code == 200


@pytest.mark.parametrize("name", ["", "  ", "x" * 61])
def test_a_place_without_a_fitting_name_is_refused(garage: Garage, name: str) -> None:
    before = garage.everything()
    answer = garage.helper.post("/b/1/places", name=name)
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.text
    assert garage.everything() == before


def test_a_place_moved_out_of_another_stands_nowhere(garage: Garage) -> None:
    shelf = place(garage, "shelf A")
    crate = place(garage, "crate 3", shelf)

    assert garage.helper.post(f"/places/{crate}/move", place="").status_code == 302

    assert garage.one("SELECT parent_id FROM place WHERE id = ?", crate) is None
    assert garage.one("SELECT body FROM journal WHERE verb = 'move' ORDER BY seq DESC") == '{"place": ""}'
    assert "Moved, with all that lies in it." in garage.helper.get(f"/places/{crate}").text
