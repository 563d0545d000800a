"""What keeps an engine from leaving: whatever is not off, by its ends, its step, or as nobody said."""

from dataclasses import replace
from typing import Any

import pytest

from app.core.items.items import Connection, End, Fluid, Item
from app.core.items.kinds import Act, Kind
from app.core.phases.joints import Tie, may_hold_at_hook_up, tie_of
from app.core.phases.routes import Route
from app.core.phases.units import usual_units
from tests.core.items.lines import mark
from tests.core.ledger.standing import item, stands
from tests.core.phases.swap import hose, sides, thing


def code(it: Item, *acts: Act, early: bool = False, **over: Any) -> str:
    chosen = frozenset({it.id}) if it.owner != "vehicle" else frozenset[str]()
    return tie_of(it, stands(it, *acts).state, sides(it, chosen=chosen, **over), is_early=early).code


@pytest.mark.parametrize("act", [Act.PLACED, Act.HAND_TIGHT, Act.STAGE, Act.TIGHT, Act.LOOSENED])
@pytest.mark.parametrize(("name", "step"), [("Mount nuts", "lift"), ("Bellhousing bolts", "split")])
def test_what_is_started_hand_tight_or_loosened_holds(name: str, step: str, act: Act) -> None:
    group = thing(Kind.FASTENER, name, "vehicle", step)

    assert code(group, Act.OFF, act) == "joins"
    assert code(group) == "joins"
    assert code(group, Act.OFF) == ""


def test_a_single_bolt_of_a_group_that_is_on_again_is_named() -> None:
    bolts = thing(Kind.FASTENER, "Mount nuts", "vehicle", "lift", n=3)
    again = stands(bolts, Act.OFF, lines=(mark("9", Act.PLACED, after=["0"], pos=[2]),))

    assert tie_of(bolts, again.state, sides(bolts), is_early=True) == Tie("joins", (2,))


def test_bellhousing_bolts_hold_nothing_where_engine_and_gearbox_leave_together() -> None:
    group = thing(Kind.FASTENER, "Bellhousing bolts", "vehicle", "split")

    assert code(group, route=Route.TOGETHER_UP) == ""


def test_a_group_of_which_nobody_said_what_it_ties_keeps_the_gate_shut() -> None:
    group = thing(Kind.FASTENER, "Bolts", "vehicle")

    assert code(group, Act.OFF, Act.PLACED) == "ends-unknown"
    assert code(group, Act.OFF) == ""


@pytest.mark.parametrize(
    ("ends", "expected"),
    [
        (("vehicle", "old engine"), "aside-joined"),
        (("vehicle", "vehicle"), "aside"),
        (("old engine", ""), "ends-unknown"),
    ],
)
def test_what_is_tied_back_blocks_or_is_called_clear_by_its_ends(
    ends: tuple[str, str], expected: str
) -> None:
    assert code(hose(*ends), Act.OFF, Act.ASIDE) == expected


def test_only_the_joint_that_crosses_is_named() -> None:
    ends = (End("A", "a", "vehicle"), End("B", "b", "vehicle"), End("C", "c", "old engine"))
    tee = item(Kind.CONNECTION, detail=Connection("coolant hose", ends=ends))

    assert tie_of(tee, stands(tee).state, sides(tee), is_early=False) == Tie("joins", (2,))


def test_without_an_engine_removal_nothing_is_asked() -> None:
    assert code(hose("vehicle", "old engine"), route=Route.NONE) == ""


def test_a_fluid_that_was_to_be_drained_is_named() -> None:
    fluid = thing(Kind.FLUID, "Coolant")

    assert code(fluid, early=True) == "planned"
    assert code(fluid, Act.DRAINED, early=True) == ""


@pytest.mark.parametrize(
    ("ends", "expected"),
    [(("vehicle", "gearbox"), ""), (("vehicle", "old engine"), "planned"), (("vehicle", ""), "planned")],
)
def test_a_fluid_whose_circuit_stays_closed_in_the_vehicle_need_not_be_drained(
    ends: tuple[str, str], expected: str
) -> None:
    fluid = thing(Kind.FLUID, "Clutch fluid", detail=Fluid(system="clutch"))
    line = replace(hose(*ends), id="line", system="clutch")

    found = tie_of(fluid, stands(fluid).state, sides(fluid, line), is_early=True)

    assert found.code == expected


def test_what_is_on_the_engine_that_comes_in_keeps_none_from_leaving() -> None:
    coil = thing(Kind.PART, "Coil pack", "old engine", "radiator")
    one_engine = usual_units()

    assert code(coil, Act.PLACED, early=True) == ""
    assert code(coil, early=True) == "planned"
    assert code(coil, Act.PLACED, early=True, units=one_engine) == "planned"
    assert code(thing(Kind.PART, "Radiator", "vehicle", "radiator"), Act.PLACED, early=True) == "planned"


@pytest.mark.parametrize(
    ("name", "step", "route", "may"),
    [
        ("Mount nuts", "", Route.ENGINE_UP, True),
        ("Bolts", "lift", Route.ENGINE_UP, True),
        ("Bolts", "split", Route.ENGINE_UP, True),
        ("Bolts", "split", Route.TOGETHER_UP, False),
        ("Exhaust nuts", "radiator", Route.ENGINE_UP, False),
    ],
)
def test_only_what_carries_may_hold_when_the_hook_is_on(
    name: str, step: str, route: Route, may: bool
) -> None:
    group = thing(Kind.FASTENER, name, "vehicle", step)

    assert may_hold_at_hook_up(group, sides(group, route=route)) is may
    assert not may_hold_at_hook_up(hose("vehicle", "old engine", name="Mount hose"), sides(group))
