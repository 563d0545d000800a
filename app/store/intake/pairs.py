"""Both halves: whose the code is that a line says was read on the other half."""

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from app.core.items.items import Item
from app.core.items.journal import Line
from app.core.ledger.pairs import half_problem, read_half
from app.core.problem import Problem
from app.store import tags
from app.store.db.models import EdgeRow, ItemRow, Tag
from app.store.journal import as_item


def wrong_half(session: Session, line: Line) -> Problem | None:
    """Refuse a line that puts two halves together which do not belong together, and name the right one."""
    subject_type, _, item_id = line.subject.partition(":")
    row = session.get(ItemRow, item_id) if subject_type == "item" and line.record.via else None
    if row is None:
        return None
    read = read_half(line.record.via)
    if isinstance(read, Problem):
        return read
    other = tags.look_up(session, read.code).subject
    codes = _codes(session, {item_id, *_paired(session, item_id)}, first=item_id)
    in_hand = line.record.half[:1]
    return half_problem(as_item(row), codes, read, in_hand, _item(session, other))


def _paired(session: Session, item_id: str) -> set[str]:
    edges = session.scalars(
        select(EdgeRow).where(
            EdgeRow.rel == "pairs", or_(EdgeRow.from_item == item_id, EdgeRow.to_item == item_id)
        )
    )
    return {end for edge in edges for end in (edge.from_item, edge.to_item)}


def _codes(session: Session, items: set[str], *, first: str) -> list[str]:
    """Return the codes of these items, the first one's before the others'."""
    subjects = [f"item:{each}" for each in items]
    given = session.execute(
        select(Tag.subject, Tag.code).where(Tag.subject.in_(subjects), Tag.void_at.is_(None))
    )
    return [code for _, code in sorted(given, key=lambda each: (each[0] != f"item:{first}", each[1]))]


def _item(session: Session, subject: str) -> Item | None:
    subject_type, _, item_id = subject.partition(":")
    row = session.get(ItemRow, item_id) if subject_type == "item" else None
    return as_item(row) if row else None
