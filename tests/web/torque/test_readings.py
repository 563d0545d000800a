"""The readings to confirm: listed for the bench, confirmed by name, and shown on the card."""

import json

from app.store.db.models import ItemRow
from app.store.snapshots import Snapshots
from tests.web.conftest import Garage
from tests.web.torque.test_wrenches import words

PAGE = "/b/1/torques/readings"
LEAST = "min. 25 N·m"


def bolts(garage: Garage, torque: str = LEAST, **over: str) -> str:
    return garage.item("fastener", **{"name": "Cover bolts", "n": "4", "torque": torque, **over})


def sent(item: str, torque: str = LEAST, reading: str = LEAST) -> dict[str, object]:
    return {"item": [item], f"torque-{item}": torque, f"reading-{item}": reading}


def forget(garage: Garage, item: str, kept: str = "") -> None:
    """Let a group be as an earlier version left it: with another reading, or none, kept beside its text."""
    with garage.folder.database.unit_of_work() as session:
        row = session.get_one(ItemRow, item)
        row.detail = row.detail | {"torque_read": kept}
        row.rev += 1


def test_the_bench_list_shows_print_reading_source_and_why(garage: Garage) -> None:
    bolts(garage, torque_source="blue book, p. 9")
    bolts(garage, "25 N·m", name="Plain ones")
    page = words(garage.owner.get(PAGE))

    assert "printed “min. 25 N·m”" in page or "as printed" in page
    assert "blue book, p. 9" in page
    assert "It is a least value, not one to aim at." in page
    assert "Plain ones" not in page


def test_what_is_ticked_is_confirmed_in_the_name_of_who_compared_it(garage: Garage) -> None:
    item = bolts(garage)
    lou = garage.one("SELECT id FROM person WHERE name = 'Lou'")
    answer = garage.owner.post(PAGE, person=lou, **sent(item))

    assert answer.status_code == 302
    (confirmed,) = garage.state(item)["confirmed"]
    assert (confirmed["torque"], confirmed["reading"], confirmed["person"]) == (LEAST, LEAST, lou)
    assert "Every reading is confirmed" in words(garage.owner.get(PAGE))
    assert "Reading confirmed by Lou" in words(garage.owner.get(f"/i/{item}"))


def test_another_text_is_asked_about_anew(garage: Garage) -> None:
    item = bolts(garage)
    garage.owner.post(PAGE, **sent(item))
    garage.describe(item, name="Cover bolts", n="4", torque="min. 26 N·m")

    assert "min. 26 N·m" in words(garage.owner.get(PAGE))
    assert "Reading not confirmed yet" in words(garage.owner.get(f"/i/{item}"))


def test_a_text_that_changed_under_the_list_is_not_confirmed(garage: Garage) -> None:
    item = bolts(garage, "min. 26 N·m")

    assert garage.owner.post(PAGE, **sent(item)).status_code == 422
    assert garage.owner.post(PAGE, item=["nothing"]).status_code == 422
    assert garage.owner.post(PAGE).status_code == 422
    assert garage.state(item)["confirmed"] == []


def test_a_card_confirms_its_own_reading(garage: Garage) -> None:
    item = bolts(garage)
    after = garage.state(item)["tips"]
    garage.owner.post(f"/i/{item}/line", verb="confirm", torque=LEAST, reading=LEAST, after=after)

    page = words(garage.owner.get(f"/i/{item}"))
    assert "Reading confirmed by" in page
    assert "confirmed the reading of the torque" in page


def test_an_onlooker_confirms_nothing(garage: Garage) -> None:
    item = bolts(garage)

    assert "Confirm the ticked ones" not in garage.onlooker.get(PAGE).text
    assert garage.onlooker.post(PAGE, **sent(item)).status_code in {302, 403}
    assert garage.state(item)["confirmed"] == []


def test_a_reading_that_changed_with_a_new_version_is_listed_with_both_and_reopens_what_was_tightened(
    garage: Garage,
) -> None:
    item = bolts(garage)
    state = garage.state(item)
    garage.owner.post(
        f"/i/{item}/line", verb="mark", act="tight", way=json.dumps(["feel"]), after=state["tips"]
    )
    assert "Closed." in garage.owner.get(f"/i/{item}").text
    forget(garage, item, "25 N·m")
    restart(garage)
    page = words(garage.owner.get(PAGE))

    assert "read before as 25 N·m read now as min. 25 N·m" in page
    assert "already tightened" in page
    assert "its torque is read differently now" in words(garage.owner.get(f"/i/{item}"))
    garage.owner.post(PAGE, **sent(item))
    assert "Closed." in garage.owner.get(f"/i/{item}").text


def test_what_an_earlier_version_read_and_did_not_keep_is_listed_unless_bare(garage: Garage) -> None:
    item, bare = bolts(garage), bolts(garage, "25 N·m", name="Bare ones")
    for each in (item, bare):
        forget(garage, each)
    restart(garage)
    page = words(garage.owner.get(PAGE))

    assert "Written with an earlier version" in page
    assert "Bare ones" not in page


def restart(garage: Garage) -> None:
    garage.app.extensions["putback"].snapshots = Snapshots()


def test_the_page_of_torques_counts_them(garage: Garage) -> None:
    bolts(garage)
    assert "Readings to confirm: 1" in garage.owner.get("/b/1/torques").text


def test_the_list_of_putting_back_counts_those_that_are_to_be_tightened(garage: Garage) -> None:
    bolts(garage)
    bolts(garage, "25 N·m", name="Plain ones")

    assert "1 torque reading waits to be compared with the print" in words(garage.owner.get("/b/1/put-back"))
