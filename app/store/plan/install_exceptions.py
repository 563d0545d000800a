"""Where putting back is not the plain reverse: stated orders of steps, and exceptions of single items."""

from collections.abc import Sequence
from dataclasses import replace

from sqlalchemy import ColumnElement, delete, func, or_, select
from sqlalchemy.orm import Session

from app.core.items.bodies.things import EditItem
from app.core.items.items import Edge
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.order.acts import (
    INSTALL_EXCEPTIONS,
    LATER,
    LOOSENED,
    GoesAfter,
    InstallException,
    Plan,
    PlanStep,
    StepEdge,
    Thing,
)
from app.core.order.plan_cycles import cycle_in
from app.core.problem import STALE, Problem
from app.store.db.models import EdgeRow, GoesAfterRow, InstallExceptionRow, ItemRow, Step, StepEdgeRow
from app.store.journal import append


def plan_of(session: Session, build_id: str) -> Plan:
    """Return what the order of a build follows from, whatever has become of its items."""
    items = session.execute(
        select(ItemRow.id, ItemRow.kind, ItemRow.step_id).where(ItemRow.build_id == build_id)
    )
    things = [Thing(row.id, Kind(row.kind), row.step_id or "", finishes=True) for row in items]
    steps = session.scalars(select(Step).where(Step.build_id == build_id)).all()
    things += [Thing(step.id, Kind.STEP, step.id) for step in steps if step.direction == "on_only"]
    edges = session.execute(
        select(EdgeRow.from_item, EdgeRow.rel, EdgeRow.to_item)
        .join(ItemRow, ItemRow.id == EdgeRow.from_item)
        .where(ItemRow.build_id == build_id)
    )
    return Plan(
        tuple(things),
        tuple(PlanStep(step.id, step.position, step.direction) for step in steps),
        tuple(Edge(*edge) for edge in edges),
        step_edges(session, build_id),
        install_exceptions(session, build_id),
        goes_after(session, build_id),
    )


def goes_after(session: Session, build_id: str) -> tuple[GoesAfter, ...]:
    """Return what of a build is stated to go back after what."""
    rows = session.scalars(
        select(GoesAfterRow)
        .join(ItemRow, ItemRow.id == GoesAfterRow.item_id)
        .where(ItemRow.build_id == build_id)
    )
    return tuple(GoesAfter(row.item_id, row.after_item, row.reason) for row in rows)


def step_edges(session: Session, build_id: str) -> tuple[StepEdge, ...]:
    """Return the stated orders of a build's steps."""
    rows = session.scalars(select(StepEdgeRow).where(StepEdgeRow.build_id == build_id))
    return tuple(StepEdge(row.before_step, row.after_step, row.reason) for row in rows)


def install_exceptions(session: Session, build_id: str) -> tuple[InstallException, ...]:
    """Return the exceptions of a build's items."""
    rows = session.scalars(
        select(InstallExceptionRow)
        .join(ItemRow, ItemRow.id == InstallExceptionRow.item_id)
        .where(ItemRow.build_id == build_id)
    )
    return tuple(InstallException(row.item_id, row.step_id, row.what, row.nth, row.reason) for row in rows)


def cycle_problem(session: Session, plan: Plan, where: str) -> Problem | None:
    """Return the cycle that a plan would hold, its members named; `where` is the field to point at."""
    cycle = cycle_in(plan)
    if not cycle:
        return None
    names = " → ".join(_name(session, member) for member in cycle)
    return Problem(
        "cycle", f"These would wait for each other in a circle: {names}. Take one of them out.", where
    )


def _name(session: Session, member: str) -> str:
    row = session.get(ItemRow, member)
    if row:
        return f"#{row.number} {row.name}".strip()
    return f"«{step_name(session.get_one(Step, member), Way.BACK)}»"


def check_step_order(
    session: Session, step: Step, predecessors: Sequence[StepEdge] | None, *, direction: str
) -> Problem | None:
    """Return what is wrong with the steps that one is predecessors to wait for, or with its new direction."""
    if predecessors is None and direction == step.direction:
        return None
    plan = plan_of(session, step.build_id)
    known = {each.id for each in plan.steps}
    if predecessors is None:
        predecessors = [edge for edge in plan.step_edges if edge.after == step.id]
    if any(edge.before == step.id for edge in predecessors):
        return Problem("itself", "A step cannot wait for itself: choose another step.", "predecessors")
    if any(edge.before not in known for edge in predecessors):
        return Problem(
            "step-gone", "The step it should wait for has been deleted: choose another.", "predecessors"
        )
    if any(not edge.reason for edge in predecessors):
        return Problem("reason", "Say why it waits: somebody will ask in a year.", "waits_why")
    if len({edge.before for edge in predecessors}) < len(predecessors):
        return Problem(
            "twice", "It is said twice to wait for the same step: keep one of them.", "predecessors"
        )
    kept = tuple(edge for edge in plan.step_edges if edge.after != step.id)
    turned = tuple(replace(s, direction=direction) if s.id == step.id else s for s in plan.steps)
    others = tuple(thing for thing in plan.things if thing.id != step.id)
    own = (Thing(step.id, Kind.STEP, step.id),) if direction == "on_only" else ()
    planned = replace(plan, things=(*others, *own), steps=turned, step_edges=(*kept, *predecessors))
    return cycle_problem(session, planned, "predecessors")


def write_step_order(
    session: Session, step: Step, predecessors: Sequence[StepEdge]
) -> tuple[tuple[str, ...], ...]:
    """Make a step wait for exactly these; returns them as they stand in the journal."""
    session.execute(delete(StepEdgeRow).where(StepEdgeRow.after_step == step.id))
    session.add_all(
        StepEdgeRow(before_step=e.before, after_step=step.id, build_id=step.build_id, reason=e.reason)
        for e in predecessors
    )
    session.flush()
    return tuple((edge.before, edge.reason) for edge in predecessors)


def count_named(session: Session, step_id: str) -> int:
    """Count the stated orders and exceptions that name a step."""
    orders = select(func.count()).select_from(StepEdgeRow).where(names_step(step_id))
    acts = select(func.count()).select_from(InstallExceptionRow).where(InstallExceptionRow.step_id == step_id)
    return (session.scalar(orders) or 0) + (session.scalar(acts) or 0)


def drop_named(session: Session, step_id: str) -> int:
    """Delete the stated orders and exceptions that name a step, and return how many there were."""
    count = count_named(session, step_id)
    session.execute(delete(StepEdgeRow).where(names_step(step_id)))
    session.execute(delete(InstallExceptionRow).where(InstallExceptionRow.step_id == step_id))
    return count


def names_step(step_id: str) -> ColumnElement[bool]:
    """Return what tells the stated orders that name a step."""
    return or_(StepEdgeRow.before_step == step_id, StepEdgeRow.after_step == step_id)


def set_install_exceptions(
    session: Session, item_id: str, stated: Sequence[InstallException], line: Line, *, rev: int, now: str
) -> Problem | None:
    """Make an item's exceptions be exactly these.

    Args:
        session: Of a unit of work.
        item_id: Which item.
        stated: Its exceptions, each kind once.
        line: The `edit` line; its body gets the exceptions.
        rev: What the writer had on the screen of the item.
        now: The server's time.
    """
    row = session.get_one(ItemRow, item_id)
    if row.rev != rev:
        return STALE
    plan = plan_of(session, row.build_id)
    problem = _check_exceptions(plan, Kind(row.kind), stated) or cycle_problem(
        session,
        replace(
            plan, install_exceptions=(*(d for d in plan.install_exceptions if d.item != item_id), *stated)
        ),
        "step",
    )
    if problem:
        return problem
    session.execute(delete(InstallExceptionRow).where(InstallExceptionRow.item_id == item_id))
    session.add_all(
        InstallExceptionRow(item_id=item_id, what=d.what, step_id=d.step, nth=d.nth, reason=d.reason)
        for d in stated
    )
    row.rev += 1
    body = EditItem(exceptions=tuple((d.what, d.step, d.nth, d.reason) for d in stated), rev=row.rev)
    append(session, replace(line, body=body.stored()), build_id=row.build_id, now=now)
    return None


def _check_exceptions(plan: Plan, kind: Kind, stated: Sequence[InstallException]) -> Problem | None:
    """Return the first thing that is wrong with an item's exceptions by themselves."""
    directions = {step.id: step.direction for step in plan.steps}
    is_group = kind is Kind.FASTENER
    for d in stated:
        wrong = [
            (d.what not in INSTALL_EXCEPTIONS, "what", "Choose what is done differently."),
            (
                d.what in {LATER, LOOSENED} and not is_group,
                "what",
                "Only a fastener group is tightened in another step.",
            ),
            (d.step not in directions, "step", "Choose the step: the one that was chosen is not there."),
            (
                directions.get(d.step) == "off_only",
                "step",
                "This step is for taking off only: choose another.",
            ),
            (not d.reason, "reason", "Say why: somebody will ask in a year."),
        ]
        found = next(((where, text) for is_wrong, where, text in wrong if is_wrong), None)
        if found:
            return Problem(f"exception-{found[0]}", found[1], found[0])
    if len({d.what for d in stated}) < len(stated):
        return Problem("twice", "Each kind of exception can be stated once of an item.", "what")
    return None
