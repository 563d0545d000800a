from typing import Any

import pytest

from app.core.items.roles import Role
from app.core.problem import STALE, Problem
from app.store.plan.steps import add_step, edit_step, give_role, move_step, move_steps
from tests.store.garage import NOW, Garage

SOAK = {"name": "soak the studs", "height": "stands", "people": 1, "minutes": 5, "direction": "on_only"}


def soak(garage: Garage, **over: Any) -> str:
    with garage.database.unit_of_work() as session:
        return add_step(session, garage.build, SOAK | over, writer=garage.writer, now=NOW).id


def move(garage: Garage, step: str, by: int) -> None:
    with garage.database.unit_of_work() as session:
        move_step(session, step, by, writer=garage.writer, now=NOW)


def move_all(garage: Garage, chosen: list[str], after: str) -> Problem | None:
    with garage.database.unit_of_work() as session:
        return move_steps(session, garage.build, chosen, after, writer=garage.writer, now=NOW)


def order(garage: Garage) -> list[str]:
    return [step.id for step in garage.now().steps]


def test_a_step_is_edited_once_from_one_page(garage: Garage) -> None:
    answers = []
    for name in ("one", "two"):
        with garage.database.unit_of_work() as session:
            edited = edit_step(session, garage.steps[0], {"name": name}, rev=1, writer=garage.writer, now=NOW)
            answers.append(edited)

    assert answers == [None, STALE]
    assert garage.now().steps[0].name == "one"


def test_a_new_step_comes_last_and_moves_among_its_neighbours(garage: Garage) -> None:
    step = soak(garage)
    assert order(garage) == [*garage.steps, step]

    move(garage, step, 1)
    move(garage, step, -1)

    assert order(garage)[-2:] == [step, garage.steps[-1]]
    move(garage, garage.steps[0], -1)
    assert order(garage)[0] == garage.steps[0]


def test_several_steps_are_moved_behind_another_as_they_stood(garage: Garage) -> None:
    first, second, third, *rest = garage.steps
    assert move_all(garage, [third, first], rest[0]) is None
    assert order(garage) == [second, rest[0], first, third, *rest[1:]]

    assert move_all(garage, [rest[-1]], "") is None
    assert order(garage)[0] == rest[-1]
    assert [step.position for step in garage.now().steps] == list(range(len(garage.steps)))


@pytest.mark.parametrize(
    ("chosen", "after", "code"),
    [([], 3, "none-chosen"), ([1, 3], 3, "itself"), ([1], None, "step-gone")],
)
def test_steps_that_cannot_be_moved_so_stay(
    garage: Garage, chosen: list[int], after: int | None, code: str
) -> None:
    rows = garage.rows()
    behind = "0" * 32 if after is None else garage.steps[after]
    problem = move_all(garage, [garage.steps[n] for n in chosen], behind)

    assert problem is not None
    assert problem.code == code
    assert (order(garage), garage.rows()) == (list(garage.steps), rows)


def test_a_move_that_changes_nothing_writes_nothing_and_any_other_writes_the_whole_order(
    garage: Garage,
) -> None:
    rows = garage.rows()
    assert move_all(garage, [garage.steps[1]], garage.steps[0]) is None
    assert garage.rows() == rows

    assert move_all(garage, [garage.steps[1]], garage.steps[4]) is None
    ((body,),) = garage.ask("SELECT body FROM journal ORDER BY seq DESC LIMIT 1")
    assert all(step in body for step in garage.steps)


def test_a_step_gets_a_role_and_one_of_another_plan_does_not(garage: Garage) -> None:
    step = soak(garage)
    with garage.database.unit_of_work() as session:
        given = give_role(session, garage.build, step, Role.LANDING, writer=garage.writer, now=NOW)
        other = give_role(session, "0" * 32, step, Role.LIFT, writer=garage.writer, now=NOW)

    assert given is None
    assert other is not None
    assert garage.now().step[step].role is Role.LANDING
