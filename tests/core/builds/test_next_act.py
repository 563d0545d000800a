"""What a page offers first for a thing."""

from dataclasses import replace

import pytest

from app.core.builds.next_act import before_of, direction_of, why_before
from app.core.items.items import Connection, Edge, End, Fastener, Item, Part, Temporary
from app.core.items.kinds import Act, Kind
from app.core.phases.milestones import APART, TOGETHER
from app.store.plan.items import set_edges
from tests.store.garage import NOW, Garage
from tests.swaps import ENGINE_UP, TOGETHER_UP

OUT = ("hook_up old", "rise old", "set_down old")
HOSE, PUMP, DRESS = "a" * 32, "b" * 32, "c" * 32


def furnish(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    ends = (End("A", "radiator", "vehicle"), End("B", "block", "old engine"))
    garage.add(Item(HOSE, 0, Kind.CONNECTION, "Hose", detail=Connection("coolant hose", ends=ends)))
    garage.add(Item(PUMP, 0, Kind.PART, "Old pump", owner="old engine", detail=Part()))
    garage.add(Item(DRESS, 0, Kind.PART, "New pump", owner="new engine", detail=Part()))


def directions(garage: Garage) -> list[str]:
    build = garage.now()
    return [direction_of(build, each) for each in (HOSE, DRESS)]


def test_the_incoming_engine_is_dressed_while_the_vehicle_comes_apart(garage: Garage) -> None:
    furnish(garage)
    assert directions(garage) == [APART, TOGETHER]


def test_once_an_engine_is_in_the_vehicle_goes_together_and_a_turn_says_it_earlier(garage: Garage) -> None:
    furnish(garage)
    garage.milestones(*OUT)
    assert directions(garage) == [APART, TOGETHER]
    garage.milestones("lift_in new")
    assert directions(garage) == [TOGETHER, TOGETHER]


@pytest.mark.parametrize(("to", "expected"), [("together", TOGETHER), ("apart", APART)])
def test_the_owner_may_turn_the_vehicle(garage: Garage, to: str, expected: str) -> None:
    furnish(garage)
    entry = garage.line(f"build:{garage.build}", "turn", units=["vehicle"], to=to)
    assert garage.receive(entry).status == 200
    assert directions(garage)[0] == expected


def test_what_goes_on_after_the_engine_waits_for_it_and_says_so(garage: Garage) -> None:
    furnish(garage)
    garage.milestones(*OUT)
    build = garage.now()
    assert before_of(build, DRESS) is None
    before = before_of(build, HOSE)
    assert before
    assert before.entry is not None
    assert before.entry.item.id == DRESS or before.entry.item.kind is Kind.STEP

    for item in (PUMP, DRESS):
        seen = garage.entry(item).state.tips
        garage.receive(garage.line(f"item:{item}", after=seen, act=Act.PLACED.value))
    bench = [e for e in garage.now().entries.values() if e.item.kind is Kind.STEP]
    for entry in bench:
        garage.receive(garage.line(f"step:{entry.item.id}", act="done"))
    before = before_of(garage.now(), HOSE)
    assert before
    assert (before.entry, before.milestone) == (None, "lift_in")


@pytest.mark.parametrize(("step", "expected"), [("split", TOGETHER), ("harness", APART)])
def test_what_nobody_said_whose_it_is_goes_by_its_step(garage: Garage, step: str, expected: str) -> None:
    """Once the engine is out, what mates it with the gearbox goes together; what joins the vehicle waits."""
    garage.is_about(TOGETHER_UP)
    garage.add(Item(HOSE, 0, Kind.FASTENER, "Bolts", garage.step(step), detail=Fastener()))
    assert direction_of(garage.now(), HOSE) == APART

    garage.milestones(*(f"{each} gearbox" for each in OUT))
    assert direction_of(garage.now(), HOSE) == expected


def test_why_one_thing_comes_before_another_is_what_ties_them(garage: Garage) -> None:
    lid, bolt = "d" * 32, "e" * 32
    garage.add(Item(lid, 0, Kind.PART, "Lid", detail=Part()), act=Act.OFF)
    garage.add(Item(bolt, 0, Kind.FASTENER, "Bolt", n=1, detail=Fastener()), act=Act.OFF)
    build = replace(garage.now(), edges=(Edge(bolt, "holds", lid),))
    assert build.blocked_by(bolt) == (build.entries[lid],)
    assert why_before(build, bolt, lid) == "holds"
    assert why_before(build, lid, bolt) == ""


def test_a_cap_stays_in_as_long_as_what_joins_its_opening_comes_apart(garage: Garage) -> None:
    furnish(garage)
    caps = {"d" * 32: HOSE, "e" * 32: DRESS, "f" * 32: ""}
    for cap, closes in caps.items():
        garage.add(Item(cap, 0, Kind.TEMPORARY, "Cap", detail=Temporary("cap")))
        if closes:
            with garage.database.unit_of_work() as session:
                line = garage.about(f"item:{cap}", "edit", {})
                assert set_edges(session, cap, "closes", {closes}, line, now=NOW) is None
    assert [direction_of(garage.now(), cap) for cap in caps] == [APART, TOGETHER, APART]
    garage.milestones(*OUT, "lift_in new")
    assert {direction_of(garage.now(), cap) for cap in caps} == {TOGETHER}
