from typing import Any

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.order.acts import InstallException, StepEdge
from app.core.problem import Problem
from app.store.checking.lines import line_problems
from app.store.db.clock import new_id
from app.store.db.models import Step
from app.store.journal import append
from app.store.plan.deleted_steps import GoesWith, delete_step, deleted_steps, goes_with, restore_step
from app.store.plan.install_exceptions import set_install_exceptions, write_step_order
from app.store.plan.items import edit_item
from app.store.plan.steps import edit_step
from tests.store.garage import NOW, Garage
from tests.store.plan.test_steps import soak


def delete(garage: Garage, step: str) -> GoesWith:
    with garage.database.unit_of_work() as session:
        return delete_step(session, step, writer=garage.writer, now=NOW)


def restore(garage: Garage, line: str = "") -> Problem | None:
    with garage.database.unit_of_work() as session:
        line = line or deleted_steps(session, garage.build)[0].line
        return restore_step(session, line, writer=garage.writer, now=NOW)


def thing(garage: Garage, step: str, kind: Kind = Kind.FASTENER) -> str:
    item = Item(new_id(), 0, kind, "arm bolts", step, garage.zones[0])
    garage.add(item)
    return item.id


def detour(garage: Garage, item: str, *said: tuple[str, str]) -> None:
    entry = garage.entry(item)
    exceptions = [InstallException(item, step, what, 1, "at ride height") for what, step in said]
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{item}", "edit", {})
        assert set_install_exceptions(session, item, exceptions, line, rev=entry.rev, now=NOW) is None


def plan(garage: Garage) -> tuple[Any, ...]:
    """All that the plan says, without the count of edits of things."""
    now = garage.now()
    return (
        now.steps,
        set(now.step_edges),
        set(now.install_exceptions),
        {item: entry.item for item, entry in now.entries.items()},
    )


def test_what_goes_with_a_step_is_told_before(garage: Garage) -> None:
    hood, exhaust = garage.step("hood"), garage.step("exhaust")
    bolts = thing(garage, exhaust)
    detour(garage, thing(garage, hood), ("later", exhaust))
    with garage.database.reading() as session:
        found = goes_with(session, exhaust)
        battery = goes_with(session, garage.step("battery"))

    assert (found.items, len(found.exceptions), found.said) == ((bolts,), 1, "0/1/1")
    assert len(battery.orders) == 3


def test_a_deletion_undone_leaves_the_plan_as_it_was(garage: Garage) -> None:
    battery = garage.step("battery")
    thing(garage, battery)
    detour(garage, thing(garage, garage.step("hood")), ("later", battery))
    before = plan(garage)

    delete(garage, battery)
    gone = garage.now()
    assert battery not in gone.step
    assert not any(battery in {edge.before, edge.after} for edge in gone.step_edges)
    assert gone.install_exceptions == ()
    assert [entry.item.step for entry in gone.items] == ["", garage.step("hood")]

    assert restore(garage) is None
    assert plan(garage) == before
    with garage.database.reading() as session:
        assert deleted_steps(session, garage.build) == []
        assert list(line_problems(session)) == []


def test_a_step_of_the_way_back_comes_back_with_its_marks(garage: Garage) -> None:
    step = soak(garage, role="fill", name_back="", instruction="Slowly.")
    garage.add(Item(new_id(), 0, Kind.CONNECTION))
    with garage.database.unit_of_work() as session:
        done = garage.about(f"step:{step}", "mark", {"act": "done"})
        append(session, done, build_id=garage.build, now=NOW)
    before = garage.now().step[step]
    delete(garage, step)
    assert step not in garage.now().entries

    assert restore(garage) is None
    assert garage.now().step[step] == before
    assert garage.entry(step).state_key == "done"


def test_a_deleted_step_leaves_no_state_behind_also_when_a_phone_marks_it_later(garage: Garage) -> None:
    step = soak(garage)
    assert not garage.entry(step).is_open  # nothing is off: the way back has not begun
    garage.add(Item(new_id(), 0, Kind.CONNECTION))
    assert garage.entry(step).is_open

    delete(garage, step)
    assert garage.receive(garage.line(f"step:{step}", act="done")).status == 200

    assert step not in garage.now().entries
    with garage.database.reading() as session:
        assert list(line_problems(session)) == []


def test_what_was_given_another_step_meanwhile_keeps_it(garage: Garage) -> None:
    exhaust, hood = garage.step("exhaust"), garage.step("hood")
    moved, waiting = thing(garage, exhaust), thing(garage, exhaust)
    delete(garage, exhaust)
    entry = garage.entry(moved)
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{moved}", "edit", {})
        changed = Item(moved, entry.item.number, Kind.FASTENER, "arm bolts", hood, entry.item.zone)
        assert edit_item(session, moved, changed, line, rev=entry.rev, now=NOW) is None

    assert restore(garage) is None
    assert garage.entry(moved).item.step == hood
    assert garage.entry(waiting).item.step == exhaust


def test_two_deletions_undone_the_last_first_bring_every_order_back(garage: Garage) -> None:
    edges = set(garage.now().step_edges)
    delete(garage, garage.step("fuel"))
    delete(garage, garage.step("battery"))

    assert restore(garage) is None
    assert restore(garage) is None
    assert set(garage.now().step_edges) == edges


def test_an_order_with_a_step_that_is_gone_is_left_out(garage: Garage) -> None:
    fuel, battery = garage.step("fuel"), garage.step("battery")
    delete(garage, fuel)
    with garage.database.reading() as session:
        (gone,) = deleted_steps(session, garage.build)
    delete(garage, battery)

    assert restore(garage, gone.line) is None
    now = {(edge.before, edge.after) for edge in garage.now().step_edges}
    assert (fuel, garage.step("first_start")) in now
    assert not any(battery in pair for pair in now)


def test_what_would_go_round_in_a_circle_is_not_brought_back(garage: Garage) -> None:
    fill, prime, start = garage.step("fill"), garage.step("prime"), garage.step("first_start")
    delete(garage, prime)
    with garage.database.unit_of_work() as session:
        row = session.get_one(Step, fill)
        write_step_order(session, row, [StepEdge(start, fill, "so")])
    rows = garage.rows()

    problem = restore(garage)
    assert problem is not None
    assert problem.code == "cycle"
    assert garage.rows() == rows


def test_a_deletion_is_undone_once_and_nothing_else_is_one(garage: Garage) -> None:
    step = soak(garage)
    delete(garage, step)
    with garage.database.reading() as session:
        (gone,) = deleted_steps(session, garage.build)
    assert restore(garage, gone.line) is None
    again, other = restore(garage, gone.line), restore(garage, new_id())

    assert (again and again.code, other and other.code) == ("back-already", "no-deletion")


def test_what_an_earlier_program_deleted_is_not_offered(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        line = garage.about(f"step:{new_id()}", "edit", {"deleted": "old", "with_it": 2})
        append(session, line, build_id=garage.build, now=NOW)
    with garage.database.reading() as session:
        assert deleted_steps(session, garage.build) == []
    problem = restore(garage, line.id)
    assert problem is not None
    assert problem.code == "no-deletion"


def test_a_step_edited_before_it_was_deleted_comes_back_as_edited(garage: Garage) -> None:
    step = garage.step("exhaust")
    with garage.database.unit_of_work() as session:
        values = {"name_back": "Pipes on", "role": "joints"}
        assert edit_step(session, step, values, rev=1, writer=garage.writer, now=NOW) is None
    delete(garage, step)
    assert restore(garage) is None
    assert (garage.now().step[step].name_back, garage.now().step[step].rev) == ("Pipes on", 2)
