"""To which units a thing belongs, as its ends, its owner and what it ties say."""

from dataclasses import replace

from app.core.items.items import Connection, Edge, End, Item
from app.core.items.kinds import Kind
from app.core.phases.routes import Route
from app.core.phases.sides import ON_BEFORE, STAYS_OFF, SideException, Sides
from app.core.phases.stages import Stage
from app.core.phases.units import usual_units
from tests.core.phases.swap import (
    hose,
    stage,
    thing,
)


def test_the_default_owner_says_nothing_until_somebody_chose_it() -> None:
    part = thing(Kind.PART, "Radiator", "vehicle")

    assert stage(part) is Stage.NOT_SAID
    assert stage(part, chosen=frozenset({"x"})) is Stage.VEHICLE


def test_ends_that_nobody_described_say_nothing() -> None:
    ends = (End("A", owner="vehicle"), End("B", owner="vehicle"))
    bare = Item("x", 1, Kind.CONNECTION, "Plug", detail=Connection("sensor", ends=ends))

    assert stage(bare) is Stage.NOT_SAID
    assert stage(bare, chosen=frozenset({"x"})) is Stage.VEHICLE


def test_a_group_that_holds_what_is_of_two_units_ties_them() -> None:
    bolts = thing(Kind.FASTENER, "Engine mount bolts", "vehicle", id="bolts")
    block = thing(Kind.PART, "Block bracket", "old engine", id="bracket")
    cup = thing(Kind.PART, "Mount", "vehicle", id="cup")
    tied = (Edge("bolts", "holds", "bracket"), Edge("bolts", "holds", "cup"))

    assert stage(bolts, block, cup, edges=tied, chosen=frozenset({"cup"})) is Stage.BEFORE_LANDING
    assert stage(bolts, block, cup, edges=tied) is Stage.NOT_SAID


def test_an_end_on_a_part_is_that_parts() -> None:
    plug = replace(hose("part", "vehicle"), id="plug")
    harness = thing(Kind.PART, "Harness", "new engine", id="harness")

    assert stage(plug, harness, edges=(Edge("plug", "joins", "harness"),)) is Stage.AFTER_LANDING


def test_an_exception_counts_with_a_reason_only() -> None:
    high = hose("vehicle", "old engine")
    early = {"x": SideException(ON_BEFORE, "no hand reaches it later")}
    bare = {"x": SideException(ON_BEFORE, " ")}

    assert stage(high, exceptions=early) is Stage.ON_BEFORE
    assert stage(high, exceptions=bare) is Stage.AFTER_LANDING
    late = {"x": SideException(STAYS_OFF, "the block would hit it")}
    assert stage(hose("old engine", "old engine"), exceptions=late) is Stage.AFTER_LANDING


def test_a_thing_that_was_described_anew_is_not_taken_for_what_it_was() -> None:
    part = replace(thing(Kind.PART, "Pipe", "vehicle"), id="x")
    sides = Sides(usual_units(), Route.NONE, Route.NONE, {"x": part}, chosen=frozenset({"x"}))
    engine = replace(part, owner="old engine")

    assert sides.joined(part) == {"vehicle"}
    assert sides.joined(engine) != {"vehicle"}
    assert sides.joined(replace(part)) == {"vehicle"}


def test_what_was_the_old_engines_is_the_new_ones_on_the_way_back_whichever_way_is_asked_first() -> None:
    part = thing(Kind.PART, "Pipe", "old engine")
    sides = Sides(usual_units(new_engine=True), Route.NONE, Route.NONE, {part.id: part})

    assert [sides.joined(part, back=back) for back in (True, False, True)] == [{"new"}, {"old"}, {"new"}]
