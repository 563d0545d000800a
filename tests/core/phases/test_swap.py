"""What a build is about: chosen, stored, likely, and until when it can be changed."""

import pytest

from app.core.items.roles import Role
from app.core.phases.registers import Place
from app.core.phases.routes import Route
from app.core.phases.swap import Swap, change_problem, chosen_swap, likely_swap, read_swap
from app.core.phases.units import UnitKind

UP = chosen_swap(Route.ENGINE_UP, Route.ENGINE_UP, new_engine=True, gearbox=True)


@pytest.mark.parametrize("out", Route)
def test_what_was_chosen_is_read_as_it_was_stored(out: Route) -> None:
    swap = chosen_swap(out, Route.TOGETHER_UP, new_engine=False, gearbox=True)
    assert read_swap(swap.stored()) == swap


@pytest.mark.parametrize(
    "stored",
    [
        {},
        {"out": "engine_up", "back": "engine_up"},
        {"out": "by balloon", "back": "engine_up", "units": []},
        {"out": "engine_up", "back": "engine_up", "units": [{"id": "x", "kind": "engine"}]},
        {"out": "engine_up", "back": "engine_up", "units": 7},
    ],
)
def test_what_cannot_be_read_was_not_chosen(stored: dict[str, object]) -> None:
    assert read_swap(stored) is None


def test_a_subframe_is_a_unit_where_it_leaves_with_the_engine() -> None:
    down = chosen_swap(Route.SUBFRAME_DOWN, Route.ENGINE_UP, new_engine=False, gearbox=True)
    assert len(down.units.of_kind(UnitKind.SUBFRAME)) == 1
    assert UP.units.of_kind(UnitKind.SUBFRAME) == ()


def test_without_a_choice_the_plan_makes_a_route_likely_and_nothing_certain() -> None:
    swap = likely_swap([Role.LIFT, Role.MATING], ["vehicle", "new engine"])
    assert (swap.out, swap.is_said, swap.units.incoming()) == (Route.ENGINE_UP, False, "new")
    assert likely_swap([Role.FILL], []).out is Route.NONE


def changed(swap: Swap, places: dict[str, Place | None]) -> str:
    problem = change_problem(UP, swap, places)
    return problem.code if problem else ""


def test_the_way_out_stands_once_the_engine_is_out_and_the_way_in_once_one_is_in() -> None:
    other_out = chosen_swap(Route.TOGETHER_UP, Route.ENGINE_UP, new_engine=True, gearbox=True)
    other_in = chosen_swap(Route.ENGINE_UP, Route.TOGETHER_UP, new_engine=True, gearbox=True)
    inside, out = {"old": Place.IN, "new": Place.BENCH}, {"old": Place.BENCH, "new": Place.BENCH}

    assert changed(other_out, {**inside}) == ""
    assert changed(other_out, {**out}) == "risen"
    assert changed(other_in, {**out}) == ""
    assert changed(other_in, {"old": Place.GONE, "new": Place.IN}) == "in-already"


def test_a_unit_that_has_moved_stays() -> None:
    same = chosen_swap(Route.ENGINE_UP, Route.ENGINE_UP, new_engine=False, gearbox=True)
    assert changed(same, {"old": Place.HANGING}) == "unit-moved"
    assert changed(same, {"old": Place.IN, "new": Place.BENCH}) == ""
