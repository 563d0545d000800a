from typing import Any

from tests.web.conftest import Garage


def quarantined(garage: Garage, entry: dict[str, Any], photo: bytes | None = None) -> None:
    device = garage.one("SELECT id FROM device WHERE role = 'helper'")
    garage.owner.post(f"/devices/{device}/shut")
    assert garage.helper.send(entry, photo).status_code == 202


def test_the_owner_lets_in_what_was_put_aside_as_that_phone_s(garage: Garage) -> None:
    item = garage.item()
    entry = garage.mark(item, "seated")
    helper = garage.one("SELECT person_id FROM device WHERE role = 'helper'")
    quarantined(garage, entry)
    assert garage.helper.post(f"/quarantine/{entry['id']}", what="in").status_code == 401
    garage.owner.post(f"/quarantine/{entry['id']}", what="in")
    position = garage.state(item)["positions"][0]
    assert (position["act"], position["person"]) == ("seated", helper)
    assert "Put aside" not in garage.owner.get("/b/1/crew").text
    garage.owner.post(f"/quarantine/{entry['id']}", what="in")
    assert garage.one("SELECT count(*) FROM journal WHERE id = ?", entry["id"]) == 1


def test_a_photo_that_was_put_aside_comes_in_with_its_tag(garage: Garage) -> None:
    code = garage.blank()
    entry = garage.capture()
    quarantined(garage, entry, garage.photo(code))
    assert garage.one("SELECT subject FROM tag WHERE code = ?", code) is None
    garage.owner.post(f"/quarantine/{entry['id']}", what="in")
    assert garage.one("SELECT subject FROM tag WHERE code = ?", code) == f"item:{entry['item']}"
    assert garage.one("SELECT count(*) FROM photo") == 1


def test_what_is_left_out_changes_nothing_and_waits_no_more(garage: Garage) -> None:
    item = garage.item()
    entry, before = garage.mark(item, "seated"), garage.state(item)
    quarantined(garage, entry)
    garage.owner.post(f"/quarantine/{entry['id']}", what="out")
    assert garage.state(item) == before
    assert "Put aside" not in garage.owner.get("/b/1/crew").text
    assert garage.one("SELECT decided FROM quarantine").startswith("left out")
