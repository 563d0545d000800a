"""The bay, the ledger and the status page."""

from tests.web.conftest import Garage


def test_with_one_build_the_first_page_is_its_bay_and_without_any_the_form_for_one(garage: Garage) -> None:
    answer = garage.owner.get("/")

    assert answer.status_code == 302
    assert answer.location == "/b/1/bay"


def test_everybody_begins_where_it_is_of_use_to_them(garage: Garage) -> None:
    assert garage.helper.get("/").location == "/b/1/now"
    assert garage.onlooker.get("/").location == "/b/1/status"


def test_the_drawing_counts_what_is_open_in_each_zone_and_what_has_no_zone(garage: Garage) -> None:
    zone, label = garage.rows("SELECT id, label FROM zone WHERE level = 'above' ORDER BY position")[0]
    before = garage.owner.get("/b/1/bay").text
    for name in ("Pump", "Cover"):
        garage.item("part", name=name, zone=zone)
    garage.item("part", name="Stray")

    page = garage.owner.get("/b/1/bay").text

    assert f"/b/1/ledger?zone={zone}" in page
    assert page != before
    listed = garage.owner.get(f"/b/1/ledger?zone={zone}").text
    assert label in listed
    assert "Pump" in listed
    assert "Cover" in listed
    assert "Stray" not in listed


def test_the_zones_below_are_drawn_on_the_page_below_and_only_there(garage: Garage) -> None:
    (above,), (below,) = (
        garage.rows("SELECT id FROM zone WHERE level = ? ORDER BY position", level)[0]
        for level in ("above", "below")
    )

    assert f"zone={above}" in garage.owner.get("/b/1/bay").text
    assert f"zone={below}" not in garage.owner.get("/b/1/bay").text
    page = garage.owner.get("/b/1/bay?level=below").text
    assert f"zone={below}" in page
    assert f"zone={above}" not in page


def test_what_is_closed_stands_in_the_ledger_only_when_all_is_asked_for(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    assert "Pump" in garage.owner.get("/b/1/ledger").text
    garage.owner.send(garage.mark(item, "placed"))

    assert "Pump" not in garage.owner.get("/b/1/ledger").text
    assert "Pump" in garage.owner.get("/b/1/ledger?all").text


def test_the_ledger_is_grouped_by_step_on_demand(garage: Garage) -> None:
    step, name = garage.rows("SELECT id, name_back FROM step WHERE direction = 'both' ORDER BY position")[0]
    garage.item("part", name="Pump", step=step)

    assert name in garage.owner.get("/b/1/ledger?by=step").text
    assert "No step yet" not in garage.owner.get("/b/1/ledger?by=step").text
    assert "No zone yet" in garage.owner.get("/b/1/ledger").text


def test_an_unchanged_status_costs_no_body_until_something_is_written(garage: Garage) -> None:
    first = garage.owner.get("/b/1/status")
    again = garage.owner.get("/b/1/status", If_None_Match=first.headers["ETag"])
    item = garage.item("part", name="Pump")
    after = garage.owner.get("/b/1/status", If_None_Match=first.headers["ETag"])

    assert (first.status_code, again.status_code, again.text) == (200, 304, "")
    assert after.status_code == 200
    assert f"#{garage.number(item)}" in after.text


def test_the_status_says_who_did_what_last_and_what_was_taken_back(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    placed = garage.mark(item, "placed")
    garage.helper.send(placed)
    assert "Hank" in garage.owner.get("/b/1/status").text
    garage.helper.send(garage.mark(item, "", verb="undo", body={"line": placed["id"]}))

    assert "took a line back" in garage.owner.get("/b/1/status").text


def test_a_build_that_is_not_there_has_no_pages(garage: Garage) -> None:
    for page in ("bay", "ledger", "status"):
        assert garage.owner.get(f"/b/7/{page}").status_code == 404
