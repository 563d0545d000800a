from dataclasses import dataclass

import pytest

from app.core.items.roles import Role, likely, missing_roles, steps_with, takes_an_engine_out


@dataclass(frozen=True)
class Planned:
    id: str
    name: str = "a step"
    role: Role = Role.NONE


WHOLE = (Planned("1", role=Role.LIFT), Planned("2", role=Role.MATING), Planned("3", role=Role.FIRST_START))


def test_steps_are_found_by_their_role_alone() -> None:
    steps = (*WHOLE, Planned("4", "Lift the engine"))
    assert steps_with(steps, Role.LIFT, Role.FIRST_START) == {"1", "3"}


def test_a_plan_with_all_needed_roles_misses_none() -> None:
    assert missing_roles(WHOLE) == ()


@pytest.mark.parametrize("gone", range(3))
def test_each_needed_role_is_missed_by_itself(gone: int) -> None:
    rest = tuple(step for n, step in enumerate(WHOLE) if n != gone)
    assert missing_roles(rest, ["old engine"]) == (WHOLE[gone].role,)


def test_a_plan_that_takes_no_engine_out_needs_no_role() -> None:
    doors = (Planned("1", "Doors off"), Planned("2", "Lift the carpet"))
    assert missing_roles(doors, ["vehicle", ""]) == ()
    assert missing_roles((), ["old engine"]) == ()


@pytest.mark.parametrize("name", ["Engine out", "LIFT THE ENGINE out", "Engine down and out"])
def test_a_step_named_like_a_lift_tells_that_an_engine_is_taken_out(name: str) -> None:
    assert takes_an_engine_out([Planned("1", name)])
    assert likely([Planned("0"), Planned("1", name)], Role.LIFT) == "1"


def test_a_name_proposes_a_role_and_gives_none() -> None:
    steps = [Planned("1", "Engine out")]
    assert missing_roles(steps) == (Role.LIFT, Role.MATING, Role.FIRST_START)
    assert likely([Planned("1", "Engine out", Role.BENCH)], Role.LIFT) == ""


def test_things_of_an_engine_tell_that_one_is_taken_out() -> None:
    assert missing_roles([Planned("1")], ["vehicle", "new engine"]) == (
        Role.LIFT, Role.MATING, Role.FIRST_START,
    )  # fmt: skip
