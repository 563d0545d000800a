"""When a thing goes back, as its ends, its step and its name say."""

from dataclasses import replace

import pytest

from app.core.items.items import Edge, Item
from app.core.items.kinds import Kind
from app.core.phases.routes import Route
from app.core.phases.stages import Stage, is_hidden_by_mating, placement
from tests.core.phases.swap import hose, sides, stage, thing


@pytest.mark.parametrize(
    ("route", "ends", "expected"),
    [
        (Route.ENGINE_UP, ("old engine", "old engine"), Stage.BENCH),
        (Route.ENGINE_UP, ("vehicle", "old engine"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("vehicle", "gearbox"), Stage.VEHICLE),
        (Route.TOGETHER_UP, ("vehicle", "gearbox"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("new engine", "gearbox"), Stage.MATING),
        (Route.TOGETHER_UP, ("old engine", "gearbox"), Stage.MATING),
        (Route.SUBFRAME_DOWN, ("old engine", "subframe"), Stage.CART),
        (Route.SUBFRAME_DOWN, ("gearbox", "subframe"), Stage.CART),
        (Route.ENGINE_UP, ("old engine", "subframe"), Stage.AFTER_LANDING),
        (Route.SUBFRAME_DOWN, ("vehicle", "subframe"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("vehicle", "vehicle"), Stage.VEHICLE),
        (Route.ENGINE_UP, ("old engine", ""), Stage.NOT_SAID),
        (Route.ENGINE_UP, ("part", "old engine"), Stage.NOT_SAID),
        (Route.NONE, ("vehicle", "old engine"), Stage.VEHICLE),
    ],
)
def test_the_ends_of_a_connection_say_when_it_goes_back(
    route: Route, ends: tuple[str, str], expected: Stage
) -> None:
    assert stage(hose(*ends), route=route) is expected


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        ("", Stage.NOT_SAID),
        ("hood", Stage.NOT_SAID),
        ("radiator", Stage.AFTER_LANDING),
        ("clutch", Stage.BENCH),
    ],
)
def test_what_is_not_said_takes_its_steps_role(step: str, expected: Stage) -> None:
    assert stage(hose("old engine", "", step=step)) is expected
    assert stage(thing(Kind.PART, "Bracket", "vehicle", step)) is expected


@pytest.mark.parametrize(
    ("name", "step", "expected"),
    [
        ("Flywheel bolts", "clutch", Stage.BEFORE_MATING),
        ("Bellhousing bolts", "split", Stage.MATING),
        ("Converter bolts", "split", Stage.MATING),
        ("Mount nuts", "lift", Stage.BEFORE_LANDING),
        ("Valve cover bolts", "clutch", Stage.BENCH),
        ("Clutch slave bolts", "split", Stage.MATING),
        ("Bellhousing dowels", "split", Stage.BEFORE_MATING),
        ("Bell housing dowel bolts", "split", Stage.BEFORE_MATING),
        ("Starter bolts", "split", Stage.AFTER_LANDING),
        ("Flywheel cover bolts", "split", Stage.AFTER_LANDING),
    ],
)
def test_a_group_goes_by_what_mating_hides_then_by_its_steps_role(
    name: str, step: str, expected: Stage
) -> None:
    assert stage(thing(Kind.FASTENER, name, "vehicle", step)) is expected


@pytest.mark.parametrize(
    ("owner", "step", "expected"),
    [
        ("old engine", "radiator", Stage.BEFORE_START),
        ("new engine", "radiator", Stage.BEFORE_START),
        ("vehicle", "radiator", Stage.AFTER_LANDING),
        ("gearbox", "radiator", Stage.AFTER_LANDING),
        ("", "radiator", Stage.AFTER_LANDING),
        ("old engine", "lift", Stage.BEFORE_LANDING),
    ],
)
def test_what_is_the_engines_own_and_came_off_for_a_joint_may_go_back_on_the_bench_or_later(
    owner: str, step: str, expected: Stage
) -> None:
    bracket = thing(Kind.PART, "Alternator", owner, step)

    assert placement(bracket, sides(bracket, chosen=frozenset({"x"}))).stage is expected


def test_a_group_that_ties_the_engines_part_to_the_vehicle_waits_for_the_landing() -> None:
    pump = thing(Kind.PART, "Steering pump", "vehicle", "radiator", id="pump")
    bolts = thing(Kind.FASTENER, "Pump bolts", "old engine", "radiator")
    known = sides(bolts, pump, chosen=frozenset({"x", "pump"}), edges=(Edge("x", "holds", "pump"),))

    assert placement(bolts, known).stage is Stage.AFTER_LANDING


@pytest.mark.parametrize(
    ("ends", "expected"),
    [(("vehicle", "old engine"), Stage.AFTER_LANDING), (("old engine", "old engine"), Stage.BEFORE_START)],
)
def test_a_cap_stays_in_until_what_is_joined_to_its_opening_can_be(
    ends: tuple[str, str], expected: Stage
) -> None:
    cap, line = thing(Kind.TEMPORARY, "Cap"), replace(hose(*ends), id="hose")

    assert placement(cap, sides(cap, line, edges=(Edge("x", "closes", "hose"),))).stage is expected
    assert placement(cap, sides(cap, line)).stage is Stage.BEFORE_START


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Strap that holds the pump aside", Stage.AFTER_LANDING),
        ("Prop under the gearbox", Stage.AFTER_LANDING),
        ("Strap on the converter", Stage.BEFORE_START),
        ("Converter strap", Stage.BEFORE_START),
        ("Rag", Stage.BEFORE_START),
    ],
)
def test_what_holds_aside_while_the_engine_is_out_goes_once_it_is_in(name: str, expected: Stage) -> None:
    assert stage(thing(Kind.TEMPORARY, name)) is expected


@pytest.mark.parametrize(
    ("name", "is_hidden"),
    [
        *(
            ("Pressure plate", True),
            ("Driven plate", True),
            ("Spigot bush", True),
            ("Throwout bearing", True),
        ),
        *(("Throw-out bearing", True), ("Crankshaft rear oil seal", True), ("Rear end plate", True)),
        *(("Rear main seal", True), ("Friction disc", True), ("Clutch cover bolts", True)),
        *(("Clutch housing bolts", False), ("Converter housing bolts", False), ("Fan and clutch", False)),
        *(("Clutch housing under cover", False), ("Clutch release cylinder", False), ("End plate", False)),
    ],
)
def test_what_mating_hides_goes_by_the_names_of_the_trade(name: str, *, is_hidden: bool) -> None:
    assert is_hidden_by_mating(Item("x", 1, Kind.PART, name)) is is_hidden
