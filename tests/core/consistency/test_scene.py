"""What stands in the place of a thing, and what is in its opening."""

import pytest

from app.core.items.items import Edge
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from tests.core.consistency.scenes import (
    BOLTS,
    CIRCUIT,
    COVER,
    IMPOSSIBLE,
    OIL,
    PLUG,
    SEALED,
    found,
    scene,
    thing,
)


def test_a_gasket_that_is_replaced_is_spoken_for_by_the_new_one() -> None:
    items = [*COVER, thing("new")]
    edges = (*SEALED, Edge("new", "replaces", "gasket"))
    replaced = {"gasket": [Line("r", "item:gasket", "dispose", {"destiny": "replaced"}, frozenset({"002"}))]}
    said = ["cover off", "gasket off", "new off", "cover placed"]

    assert found(items, said, edges=edges, more=replaced) == [("unsealed", IMPOSSIBLE, "cover", "new")]


def test_an_opening_that_is_plugged_may_be_filled() -> None:
    cap = thing("cap", Kind.TEMPORARY)
    said = ["oil drained", "plug off", "cap fitted", "oil filled"]
    assert found([OIL, PLUG, cap], said, systems=CIRCUIT, edges=(Edge("cap", "closes", "plug"),)) == []


def test_what_stands_in_the_place_of_a_replaced_thing_takes_its_relations_to_the_end_of_the_row() -> None:
    items = [*COVER, thing("new"), thing("newest")]
    edges = (*SEALED, Edge("new", "replaces", "gasket"), Edge("newest", "replaces", "new"))
    gone = {
        key: [Line(f"r{key}", f"item:{key}", "dispose", {"destiny": "replaced"})] for key in ("gasket", "new")
    }

    def seals(**more: list[Line]) -> list[tuple[str, str]]:
        pairs = scene(items, [], edges=edges, more=more).pairs["seals"]
        return [(gasket.item.id, cover.item.id) for gasket, cover in pairs]

    assert seals() == [("gasket", "cover")]
    assert seals(gasket=gone["gasket"]) == [("new", "cover")]
    assert seals(**gone) == [("newest", "cover")]


def test_a_relation_to_something_that_is_not_here_is_none() -> None:
    assert scene([thing("cover")], [], edges=SEALED).pairs == {}


@pytest.mark.parametrize(
    ("said", "stands"),
    [
        ([], (False, False, True, True)),
        (["bolts off"], (True, False, False, False)),
        (["bolts off", "bolts placed"], (True, True, True, False)),
        (["bolts off", "bolts tight"], (True, True, True, True)),
        (["bolts unused"], (False, False, True, True)),
    ],
)
def test_a_thing_is_back_once_any_of_it_is_whole_once_all_is_and_done_once_its_work_is(
    said: list[str], stands: tuple[bool, bool, bool, bool]
) -> None:
    seen = scene([BOLTS], said).things["bolts"]

    assert (seen.goes_back, seen.is_back, seen.is_whole, seen.is_done) == stands
