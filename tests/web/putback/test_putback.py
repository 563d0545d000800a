"""The list of putting back, and the status beside it."""

import re

from tests.web.conftest import Garage


def listed(garage: Garage, query: str = "") -> list[str]:
    """Return the ids of the list's rows, steps on the way back left out."""
    rows = re.findall(r'data-row="([0-9a-f]{32})"', garage.owner.get("/b/1/put-back" + query).text)
    return [row for row in rows if garage.rows("SELECT 1 FROM item WHERE id = ?", row)]


def mark(garage: Garage, item: str, act: str) -> None:
    assert garage.owner.send(garage.mark(item, act)).status_code == 200


def test_what_came_off_last_goes_back_first(garage: Garage) -> None:
    first, second, third = (garage.item("part") for _ in range(3))
    assert listed(garage) == [third, second, first]


def test_what_is_held_goes_in_before_what_holds_it_and_the_wait_is_shown(garage: Garage) -> None:
    bracket = garage.item("part", name="Bracket")
    bolt = garage.item("fastener", name="Bolt", n="1", torque="9 N·m")
    garage.describe(bolt, name="Bolt", n="1", torque="9 N·m", holds="#1")
    assert listed(garage) == [bracket, bolt]
    assert "waits for #1 Bracket" in garage.owner.get("/b/1/put-back").text
    assert "First: " in garage.owner.get(f"/i/{bolt}").text

    mark(garage, bracket, "placed")
    assert listed(garage) == [bolt]
    assert "waits for #1" not in garage.owner.get("/b/1/put-back").text
    assert listed(garage, "?all") == [bracket, bolt]


def test_doing_something_out_of_turn_is_kept(garage: Garage) -> None:
    bracket = garage.item("part", name="Bracket")
    bolt = garage.item("fastener", name="Bolt", n="1", torque="9 N·m", holds="#1")
    mark(garage, bolt, "tight")
    assert listed(garage) == [bracket, bolt]
    assert "is tight, and #1 Bracket, which it holds, is not in." in garage.owner.get(f"/i/{bolt}").text


def test_a_long_list_comes_page_by_page_with_each_line_once(busy: Garage) -> None:
    pages = [listed(busy, f"?all&from={start}") for start in (0, 20, 40, 60)]
    ids = [item for page in pages for item in page]
    assert len(ids) == len(set(ids)) > 30
    further = re.findall(r'/b/1/put-back\?([^"]*from=\d+[^"]*)"', busy.owner.get("/b/1/put-back?all").text)
    assert further
    assert all("all=1" in query for query in further)
    for odd in ("-5", "x", "9" * 30):
        assert busy.owner.get(f"/b/1/put-back?from={odd}").status_code == 200


def test_an_empty_list_says_so(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    mark(garage, item, "placed")
    assert listed(garage) == []
    assert "of 1 " not in garage.owner.get("/b/1/bay").text


def test_an_unchanged_status_costs_no_body_and_any_line_gives_a_new_one(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    first = garage.helper.get("/b/1/status?fragment=1")
    again = garage.helper.get("/b/1/status?fragment=1", If_None_Match=first.headers["ETag"])
    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["Cache-Control"] == "private, no-cache"

    mark(garage, item, "placed")
    fresh = garage.helper.get("/b/1/status?fragment=1", If_None_Match=first.headers["ETag"])
    assert fresh.status_code == 200
    assert "Olive: in position" in fresh.text
