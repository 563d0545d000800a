"""What follows from a build's parts alone: the ways of its places, what lies where, what is new for old."""

from dataclasses import replace

from app.core.builds.entry import PlaceFacts
from app.core.items.items import Edge, Item, Part
from app.core.items.kinds import Kind
from app.store.db.clock import new_id
from tests.store.garage import Garage

SHELF = "5" * 32
PLACES = {
    "bag": PlaceFacts("bag", "bag 3", "crate"),
    "crate": PlaceFacts("crate", "blue crate", "shelf"),
    "shelf": PlaceFacts("shelf", "long shelf", ""),
    "round": PlaceFacts("round", "round", "about"),
    "about": PlaceFacts("about", "about", "round"),
}


def add(garage: Garage, name: str) -> str:
    part = Item(new_id(), 0, Kind.PART, name, garage.steps[0], garage.zones[0], detail=Part())
    garage.add(part)
    return part.id


def test_a_place_is_told_from_the_bag_outward_and_a_loop_ends_where_it_closes(garage: Garage) -> None:
    build = replace(garage.now(), places=PLACES)

    assert build.place_path("bag") == ("bag 3", "blue crate", "long shelf")
    assert build.place_path("round") == ("round", "about")
    assert build.place_path("") == ()


def test_items_stand_by_their_number_and_what_lies_nowhere_lies_nowhere(garage: Garage) -> None:
    a, b = add(garage, "a"), add(garage, "b")
    seen = garage.entry(b).state.tips
    assert garage.receive(garage.line(f"item:{b}", "move", after=seen, place=SHELF)).status == 200
    build = garage.now()

    assert [entry.item.id for entry in build.items] == [a, b]
    assert {place: [e.item.id for e in lying] for place, lying in build.lying.items()} == {SHELF: [b]}


def test_what_is_new_is_told_from_what_is_old(garage: Garage) -> None:
    build = replace(garage.now(), edges=(Edge("new", "replaces", "old"), Edge("new", "holds", "other")))

    assert build.replaces == {"new": "old"}
    assert build.replaced == {"old"}
