"""What is stated of single things on the way back: what they go after, and on which side of the lift."""

from collections.abc import Sequence
from dataclasses import replace

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from app.core.items.bodies.things import EditItem
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from app.core.order.acts import GoesAfter
from app.core.phases.sides import EXCEPTIONS, SideException
from app.core.problem import STALE, Problem
from app.store.db.models import GoesAfterRow, ItemRow, SideExceptionRow
from app.store.journal import append
from app.store.plan.install_exceptions import cycle_problem, plan_of

MOST_AFTER = 50


def side_exceptions(session: Session, build_id: str) -> dict[str, SideException]:
    """Return for each thing of a build its exception to the side rule, where it has one."""
    rows = session.scalars(
        select(SideExceptionRow)
        .join(ItemRow, ItemRow.id == SideExceptionRow.item_id)
        .where(ItemRow.build_id == build_id)
    )
    return {row.item_id: SideException(row.what, row.reason) for row in rows}


def set_goes_after(
    session: Session, item_id: str, stated: Sequence[GoesAfter], line: Line, *, rev: int, now: str
) -> Problem | None:
    """Make a thing go back after exactly these.

    Args:
        session: Of a unit of work.
        item_id: Which thing.
        stated: What it goes back after, each with a reason.
        line: The `edit` line; its body gets them.
        rev: What the writer had on the screen of the thing.
        now: The server's time.
    """
    row = session.get_one(ItemRow, item_id)
    if row.rev != rev:
        return STALE
    if problem := check_goes_after(session, row, stated):
        return problem
    session.execute(delete(GoesAfterRow).where(GoesAfterRow.item_id == item_id))
    session.add_all(GoesAfterRow(item_id=item_id, after_item=s.after, reason=s.reason) for s in stated)
    row.rev += 1
    body = EditItem(goes_after=tuple((s.after, s.reason) for s in stated), rev=row.rev)
    append(session, replace(line, body=body.stored()), build_id=row.build_id, now=now)
    return None


def check_goes_after(session: Session, row: ItemRow, stated: Sequence[GoesAfter]) -> Problem | None:
    """Return what is wrong with what a thing is stated to go back after, or `None`."""
    plan = plan_of(session, row.build_id)
    known = {thing.id for thing in plan.things if thing.kind not in {Kind.STEP, Kind.FINDING}}
    wrong = (
        (len(stated) > MOST_AFTER, "many", f"More than {MOST_AFTER} are too many: name the last ones only."),
        (any(s.after == row.id for s in stated), "itself", "A thing cannot go back after itself."),
        (any(s.after not in known for s in stated), "gone", "What it goes back after is not in this build."),
        (len({s.after for s in stated}) < len(stated), "twice", "The same thing is named twice."),
        (any(not s.reason.strip() for s in stated), "reason", "Say why: somebody will ask in a year."),
    )
    for is_wrong, code, text in wrong:
        if is_wrong:
            return Problem(f"after-{code}", text, "goes_after")
    kept = tuple(each for each in plan.goes_after if each.item != row.id)
    return cycle_problem(session, replace(plan, goes_after=(*kept, *stated)), "goes_after")


def set_side(
    session: Session, item_id: str, stated: SideException | None, line: Line, *, rev: int, now: str
) -> Problem | None:
    """Say on which side of the lift a thing goes back against the rule, or that it follows the rule."""
    row = session.get_one(ItemRow, item_id)
    if row.rev != rev:
        return STALE
    if stated and stated.what not in EXCEPTIONS:
        return Problem("side", "Choose on which side of the lift it goes back.", "side")
    if stated and not stated.counts:
        return Problem("reason", "Say why: somebody will ask in a year.", "side_reason")
    session.execute(delete(SideExceptionRow).where(SideExceptionRow.item_id == item_id))
    if stated:
        session.add(SideExceptionRow(item_id=item_id, what=stated.what, reason=stated.reason))
    row.rev += 1
    said = (stated.what, stated.reason) if stated else ("", "")
    body = EditItem(side=said, rev=row.rev)
    append(session, replace(line, body=body.stored()), build_id=row.build_id, now=now)
    return None
