import pytest

from app.core.phases.routes import LEAVES, Route, chain, mates_in_vehicle
from app.core.phases.units import UnitKind


def milestones(route: Route, *, gearbox: bool = True) -> str:
    return " ".join(chain(route, gearbox=gearbox, power=True, start=True, move=True))


AFTER = "landed power_on first_start started moved"


@pytest.mark.parametrize(
    ("route", "expected"),
    [
        (Route.ENGINE_UP, f"lift_in mating {AFTER}"),
        (Route.TOGETHER_UP, f"mating lift_in {AFTER}"),
        (Route.SUBFRAME_DOWN, f"mating lift_in {AFTER}"),
        (Route.BODY_OFF, f"mating lift_in {AFTER}"),
        (Route.REAR_DOWN, f"mating lift_in {AFTER}"),
        (Route.NONE, "power_on first_start started moved"),
    ],
)
def test_engine_and_gearbox_meet_in_the_vehicle_where_the_gearbox_stays_and_before_it_elsewhere(
    route: Route, expected: str
) -> None:
    assert milestones(route) == expected


def test_without_a_gearbox_to_meet_there_is_no_mating() -> None:
    assert milestones(Route.ENGINE_UP, gearbox=False) == f"lift_in {AFTER}"


@pytest.mark.parametrize(
    ("has", "expected"),
    [
        ("power", ("power_on",)),
        ("start", ("first_start", "started")),
        ("move", ("moved",)),
    ],
)
def test_only_what_the_plan_has_a_step_for_is_a_milestone(has: str, expected: tuple[str, ...]) -> None:
    has_step = dict.fromkeys(("power", "start", "move"), False) | {has: True}

    assert chain(Route.NONE, gearbox=True, **has_step) == expected


def test_they_meet_in_the_vehicle_exactly_where_the_engine_leaves_and_its_gearbox_does_not() -> None:
    for route in Route:
        alone = UnitKind.ENGINE in LEAVES[route] and UnitKind.GEARBOX not in LEAVES[route]
        assert mates_in_vehicle(route) is alone, route


def test_the_vehicle_itself_leaves_on_no_route() -> None:
    assert LEAVES.keys() == set(Route)
    assert all(UnitKind.VEHICLE not in kinds for kinds in LEAVES.values())
