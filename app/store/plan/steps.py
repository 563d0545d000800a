"""The steps of a plan: written, edited, given a role, put in order."""

from collections.abc import Collection, Sequence
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.items.bodies.plan import AddStep, EditBuild, EditStep
from app.core.items.roles import Role
from app.core.order.acts import StepEdge
from app.core.plan.step_order import moved_after
from app.core.problem import STALE, Problem
from app.store.db.clock import new_id
from app.store.db.models import JournalRow, Step
from app.store.journal import append, as_line
from app.store.plan.builds import Writer, step_values
from app.store.plan.install_exceptions import check_step_order, write_step_order


def add_step(session: Session, build_id: str, values: dict[str, Any], *, writer: Writer, now: str) -> Step:
    """Put a new step at the end of the plan."""
    last = session.scalar(select(func.max(Step.position)).where(Step.build_id == build_id))
    step = Step(id=new_id(), build_id=build_id, position=-1 if last is None else last, cautions=[], **values)
    step.position += 1
    session.add(step)
    session.flush()
    said = AddStep(**step_values(step))
    append(session, writer.say(f"step:{step.id}", said), build_id=build_id, now=now)
    return step


def edit_step(
    session: Session,
    step_id: str,
    values: dict[str, Any],
    *,
    rev: int,
    writer: Writer,
    now: str,
    predecessors: Sequence[StepEdge] | None = None,
) -> Problem | None:
    """Write a step's words, and with `predecessors` which steps come before it on the way back."""
    step = session.get_one(Step, step_id)
    if step.rev != rev:
        return STALE
    problem = check_step_order(session, step, predecessors, direction=values.get("direction", step.direction))
    if problem:
        return problem
    for key, value in values.items():
        setattr(step, key, value)
    step.rev += 1
    before = None if predecessors is None else write_step_order(session, step, predecessors)
    said = EditStep(**values, predecessors=before, rev=step.rev)
    append(session, writer.say(f"step:{step_id}", said), build_id=step.build_id, now=now)
    return None


def give_role(
    session: Session, build_id: str, step_id: str, role: Role, *, writer: Writer, now: str
) -> Problem | None:
    """Say of a step what it is for, on the page where that was missing."""
    step = session.get(Step, step_id)
    if step is None or step.build_id != build_id:
        return Problem("step-gone", "Choose a step: the one that was chosen is not there.", "step")
    return edit_step(session, step_id, {"role": role.value}, rev=step.rev, writer=writer, now=now)


def steps_of(session: Session, build_id: str) -> list[Step]:
    """Return a plan's steps in the order of taking off."""
    return list(session.scalars(select(Step).where(Step.build_id == build_id).order_by(Step.position)))


def put_in_order(steps: Collection[Step], order: Sequence[str]) -> None:
    """Give each step its place."""
    at = {step_id: position for position, step_id in enumerate(order)}
    for step in steps:
        step.position = at[step.id]


def move_step(session: Session, step_id: str, by: int, *, writer: Writer, now: str) -> None:
    """Exchange a step with its neighbour, earlier (-1) or later (+1) in taking off."""
    step = session.get_one(Step, step_id)
    steps = steps_of(session, step.build_id)
    order = [each.id for each in steps]
    here = order.index(step_id)
    there = here + by
    if 0 <= there < len(order):
        order[here], order[there] = order[there], order[here]
        put_in_order(steps, order)
        said = EditStep(position=there, order=tuple(order))
        append(session, writer.say(f"step:{step_id}", said), build_id=step.build_id, now=now)


def move_steps(
    session: Session, build_id: str, chosen: Collection[str], after: str, *, writer: Writer, now: str
) -> Problem | None:
    """Move several steps behind another in the order of taking off.

    Args:
        session: Of a unit of work.
        build_id: Of which plan.
        chosen: Ids of the steps; those that were deleted meanwhile are passed over.
        after: The step behind which they come, in the order that they have; empty for the beginning.
        writer: Who moves them.
        now: The server's time.
    """
    steps = steps_of(session, build_id)
    before = [step.id for step in steps]
    if not set(chosen) & set(before):
        return Problem("none-chosen", "Tick the steps that are to be moved.", "chosen")
    if after in chosen:
        return Problem("itself", "A step cannot come after itself: choose one that is not ticked.", "after")
    try:
        order = moved_after(before, chosen, after)
    except ValueError:
        return Problem("step-gone", "The step that they should come after is gone: choose another.", "after")
    order_steps(session, build_id, order, writer=writer, now=now)
    return None


def keep_order(session: Session, build_id: str, done: Sequence[str], *, writer: Writer, now: str) -> None:
    """Write down that the plan keeps its order, although the steps were done in this one."""
    said = EditBuild(kept=tuple(done))
    append(session, writer.say(f"build:{build_id}", said), build_id=build_id, now=now)


def kept_order(session: Session, build_id: str) -> tuple[str, ...]:
    """Return the order as done against which the plan was kept last; empty where nobody kept it."""
    edits = select(JournalRow).where(
        JournalRow.subject == f"build:{build_id}", JournalRow.verb == EditBuild.VERB
    )
    said = (as_line(row).record for row in session.scalars(edits.order_by(JournalRow.seq.desc())))
    return next((each.kept for each in said if isinstance(each, EditBuild) and each.kept), ())


def order_steps(session: Session, build_id: str, order: Sequence[str], *, writer: Writer, now: str) -> None:
    """Put all steps of a plan in an order; where they have it already, nothing is written."""
    steps = steps_of(session, build_id)
    if [step.id for step in steps] == list(order):
        return
    put_in_order(steps, order)
    said = EditBuild(order=tuple(order))
    append(session, writer.say(f"build:{build_id}", said), build_id=build_id, now=now)
