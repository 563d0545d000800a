from dataclasses import replace

from app.core.builds.missing_roles import missing_in_plan, told_missing
from app.core.items.items import Connection, End, Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.store.db.clock import new_id
from tests.store.garage import Garage


def test_a_starter_plan_misses_no_role(garage: Garage) -> None:
    assert missing_in_plan(garage.now()) == ()


def test_each_missing_role_is_said_with_the_step_that_is_like_it(garage: Garage) -> None:
    now = garage.now()
    bare = replace(now, steps=tuple(replace(step, role=Role.NONE) for step in now.steps))
    found = missing_in_plan(bare)

    assert [each.role for each in found] == [Role.LIFT, Role.MATING, Role.FIRST_START]
    assert [bool(each.text and each.words) for each in found] == [True] * 3
    assert [each.likely for each in found] == [
        garage.step("lift_out"), garage.step("split"), garage.step("first_start"),
    ]  # fmt: skip


def test_a_connection_with_one_end_at_an_engine_tells_that_one_is_taken_out(garage: Garage) -> None:
    now = garage.now()
    plain = replace(now, steps=(replace(now.steps[0], role=Role.NONE, name="Doors off"),))
    assert missing_in_plan(plain) == ()

    ends = (End("A", "tank", "vehicle"), End("B", "rail", "old engine"))
    garage.add(Item(new_id(), 0, Kind.CONNECTION, "Line", detail=Connection("fuel line", ends=ends)))
    told = replace(plain, entries=garage.now().entries)
    assert [each.role for each in missing_in_plan(told)] == [Role.LIFT, Role.MATING, Role.FIRST_START]


def test_a_role_that_a_gate_misses_is_told_whatever_the_plan_is_for(garage: Garage) -> None:
    (told,) = told_missing(garage.now(), [Role.LIFT])

    assert told.text.startswith("No step is marked as the lift")
