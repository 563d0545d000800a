"""Steps deleted with all that names them, and brought back with it.

All that a deletion takes away stands in its line, so that the line alone brings it back.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.items.bodies.plan import EditStep
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.order.acts import InstallException, Plan, PlanStep, StepEdge, Thing
from app.core.order.plan_cycles import cycle_in
from app.core.problem import Problem
from app.store.db.models import InstallExceptionRow, ItemRow, ItemStateRow, JournalRow, Step, StepEdgeRow
from app.store.journal import append, as_line
from app.store.plan.builds import STEP_FIELDS, Writer, step_values
from app.store.plan.install_exceptions import drop_named, names_step, plan_of
from app.store.plan.steps import put_in_order, steps_of


@dataclass(frozen=True, slots=True)
class GoesWith:
    """What goes with a step that is deleted.

    Args:
        orders: Stated orders that name it: (before, after, reason).
        exceptions: Exceptions that are done in it: (item, what, nth, reason).
        items: The things that lose their step.
    """

    orders: tuple[tuple[str, str, str], ...]
    exceptions: tuple[tuple[str, str, int, str], ...]
    items: tuple[str, ...]

    @property
    def said(self) -> str:
        """How many of each, as a page that asks carries it."""
        return f"{len(self.orders)}/{len(self.exceptions)}/{len(self.items)}"


@dataclass(frozen=True, slots=True)
class DeletedStep:
    """A step that was deleted and can be brought back: `line` is what deleted it."""

    line: str
    id: str
    name: str
    at: str
    person: str


def goes_with(session: Session, step_id: str) -> GoesWith:
    """Return what would go with a step."""
    orders = session.scalars(select(StepEdgeRow).where(names_step(step_id)))
    exceptions = session.scalars(select(InstallExceptionRow).where(InstallExceptionRow.step_id == step_id))
    items = session.scalars(select(ItemRow.id).where(ItemRow.step_id == step_id).order_by(ItemRow.number))
    return GoesWith(
        tuple(sorted((row.before_step, row.after_step, row.reason) for row in orders)),
        tuple(sorted((row.item_id, row.what, row.nth, row.reason) for row in exceptions)),
        tuple(items),
    )


def delete_step(session: Session, step_id: str, *, writer: Writer, now: str) -> GoesWith:
    """Delete a step; stated orders and exceptions that name it go with it, and its things lose their step."""
    step = session.get_one(Step, step_id)
    gone = goes_with(session, step_id)
    body = EditStep(
        **step_values(step),
        deleted=step.name,
        orders=gone.orders,
        exceptions=gone.exceptions,
        items=gone.items,
    )
    build_id = step.build_id
    drop_named(session, step_id)
    _give_step(session, gone.items, None)
    session.delete(step)
    kept = session.get(ItemStateRow, f"step:{step_id}")
    if kept:
        session.delete(kept)
    session.flush()
    append(session, writer.say(f"step:{step_id}", body), build_id=build_id, now=now)
    return gone


def _give_step(session: Session, items: Iterable[str], step_id: str | None) -> None:
    for item in items:
        row = session.get_one(ItemRow, item)
        row.step_id = step_id
        row.rev += 1
    session.flush()


def deleted_steps(session: Session, build_id: str) -> list[DeletedStep]:
    """Return the steps that were deleted and are not back, newest first.

    A deletion that an earlier program wrote does not say what went with it: it cannot be undone.
    """
    there = set(session.scalars(select(Step.id).where(Step.build_id == build_id)))
    rows = session.scalars(
        select(JournalRow)
        .where(JournalRow.build_id == build_id, JournalRow.verb == "edit")
        .where(JournalRow.subject.startswith("step:"), JournalRow.body["deleted"].is_not(None))
        .order_by(JournalRow.seq.desc())
    )
    found: dict[str, DeletedStep] = {}
    for row in rows:
        step_id = row.subject.partition(":")[2]
        if step_id not in there and "items" in row.body:
            told = DeletedStep(row.id, step_id, str(row.body["deleted"]), row.server_at, row.person)
            found.setdefault(step_id, told)
    return list(found.values())


def restore_step(session: Session, line_id: str, *, writer: Writer, now: str) -> Problem | None:
    """Undo a deletion: the step stands where it stood, with its orders, exceptions and things.

    What has changed since stays: a thing that was given another step keeps it, an order whose other step is
    gone and an exception that was said anew are left out. What would go round in a circle is refused.
    """
    row = session.scalars(select(JournalRow).where(JournalRow.id == line_id)).one_or_none()
    gone = as_line(row).record if row else None
    if row is None or not row.build_id or not isinstance(gone, EditStep) or gone.items is None:
        return Problem("no-deletion", "This cannot be undone: what went with the step is not written down.")
    step_id = row.subject.partition(":")[2]
    if session.get(Step, step_id):
        return Problem("back-already", f"“{gone.deleted}” is back already.")
    orders = _orders(session, gone, step_id)
    exceptions = _exceptions(session, gone)
    told = gone.values(*STEP_FIELDS) | {
        "cautions": list(gone.cautions or ()),
        "role": Role(gone.role or "").value,
    }
    there = steps_of(session, row.build_id)
    order = [step.id for step in there]
    order.insert(min(told["position"], len(order)), step_id)
    items = [item for item in gone.items if _is_without_step(session, item)]
    plan = _with_step(plan_of(session, row.build_id), order, step_id, told["direction"], items)
    stated = (*plan.step_edges, *(StepEdge(*each) for each in orders))
    said = (*plan.install_exceptions, *(InstallException(i, step_id, w, n, r) for i, w, n, r in exceptions))
    if cycle_in(replace(plan, step_edges=stated, install_exceptions=said)):
        return Problem(
            "cycle",
            f"“{gone.deleted}” cannot come back: with what was stated since, things would wait for "
            "each other in a circle. Take out what was stated since it was deleted.",
        )
    step = Step(id=step_id, build_id=row.build_id, **told)
    session.add(step)
    session.flush()
    put_in_order([*there, step], order)
    _give_step(session, items, step_id)
    session.add_all(
        StepEdgeRow(before_step=before, after_step=after, build_id=row.build_id, reason=reason)
        for before, after, reason in orders
    )
    session.add_all(
        InstallExceptionRow(item_id=item, what=what, step_id=step_id, nth=nth, reason=reason)
        for item, what, nth, reason in exceptions
    )
    session.flush()
    line = writer.line(f"step:{step_id}", "undo", {"line": line_id})
    append(session, replace(line, after=frozenset({line_id})), build_id=row.build_id, now=now)
    back = EditStep(
        **step_values(step),
        order=tuple(order),
        orders=tuple(orders),
        exceptions=tuple(exceptions),
        items=tuple(items),
    )
    append(session, writer.say(f"step:{step_id}", back, (line.id,)), build_id=row.build_id, now=now)
    return None


def _is_without_step(session: Session, item: str) -> bool:
    row = session.get(ItemRow, item)
    return row is not None and row.step_id is None


def _with_step(
    plan: Plan, order: Sequence[str], step_id: str, direction: str, items: Collection[str]
) -> Plan:
    """Return a plan with one more step at its place in the order, and with its things in it."""
    directions = {step.id: step.direction for step in plan.steps} | {step_id: direction}
    things = [replace(thing, step=step_id) if thing.id in items else thing for thing in plan.things]
    if direction == "on_only":
        things.append(Thing(step_id, Kind.STEP, step_id))
    steps = tuple(PlanStep(each, at, directions[each]) for at, each in enumerate(order))
    return replace(plan, things=tuple(things), steps=steps)


def _orders(session: Session, gone: EditStep, step_id: str) -> list[tuple[str, str, str]]:
    """Return the stated orders whose other step is still there."""
    return [
        (before, after, reason)
        for before, after, reason in gone.orders or ()
        if all(each == step_id or session.get(Step, each) for each in (before, after))
    ]


def _exceptions(session: Session, gone: EditStep) -> list[tuple[str, str, int, str]]:
    """Return the exceptions whose thing is still there and of which nobody has said the same anew."""
    return [
        (item, what, nth, reason)
        for item, what, nth, reason in gone.exceptions or ()
        if session.get(ItemRow, item) and not session.get(InstallExceptionRow, (item, what))
    ]
