"""What the work waits for, on the disk: each change writes a line about the item, or about the build."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import literal_column, select
from sqlalchemy.orm import Session

from app.core.items.bodies.things import Treat
from app.core.items.journal import History
from app.core.money import Money
from app.core.problem import STALE, Problem
from app.core.procurement.outstanding import Outstanding, outstanding_problems
from app.store.db.models import OutstandingRow
from app.store.journal import append, lines_of
from app.store.plan.builds import Writer

OUTSTANDING_FIELDS = (
    *("category", "need", "what", "at_whom", "since", "due", "price_minor", "currency", "count", "done_on"),
    "rev",
)
"""Columns that the journal says under the same names."""

_LINE_TEXT: Mapping[str, tuple[str, str]] = {
    "away": ("away", "back"),
    "get": ("to get", "arrived"),
    "soak": ("soaking", "soaked"),
    "core": ("a core to return", "core returned"),
    "sale": ("for sale", "sold"),
}


@dataclass(frozen=True, slots=True)
class Edit:
    """By whom and when it is written.

    Args:
        writer: Who writes.
        now: The server's time, ISO 8601 UTC.
        today: The day on the owner's calendar.
        rev: The row's count as the page showed it; 0 for a new one.
    """

    writer: Writer
    now: str
    today: date
    rev: int = 0


def outstanding_of(session: Session, build_id: str) -> tuple[Outstanding, ...]:
    """Return all that was ever outstanding in a build, the closed ones too, the oldest first."""
    rows = session.scalars(
        select(OutstandingRow).where(OutstandingRow.build_id == build_id).order_by(literal_column("rowid"))
    )
    return tuple(as_outstanding(row) for row in rows)


def as_outstanding(row: OutstandingRow) -> Outstanding:
    """Return a stored row as the computing knows it."""
    return Outstanding(
        row.id,
        row.subject,
        row.category,
        row.need,
        row.what,
        row.at_whom,
        _day(row.since),
        _day(row.due),
        None if row.price_minor is None else Money(row.price_minor, row.currency),
        row.count,
        _day(row.done_on),
        row.rev,
    )


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def save_outstanding(
    session: Session, outstanding: Outstanding, change: Edit, *, build_id: str, currency: str
) -> tuple[Problem, ...]:
    """Write something outstanding, new or known, unless something about it is wrong: then nothing is written.

    Args:
        session: Of a unit of work.
        outstanding: All its values; `rev` is passed over.
        change: By whom and when; a `rev` that is not the row's is answered with a `stale` problem.
        build_id: The build.
        currency: What the build's prices are in, kept with the row.
    """
    row = session.get(OutstandingRow, outstanding.id)
    if row is not None and (row.rev != change.rev or row.build_id != build_id):
        return (STALE,)
    found = outstanding_problems(outstanding, change.today, before=as_outstanding(row) if row else None)
    if found:
        return found
    if row is None:
        row = OutstandingRow(id=outstanding.id, build_id=build_id, rev=0)
        session.add(row)
    for key, value in _stored(outstanding, currency).items():
        setattr(row, key, value)
    row.rev += 1
    _write_line(session, row, change, _LINE_TEXT[outstanding.category][0])
    return ()


def _stored(outstanding: Outstanding, currency: str) -> dict[str, Any]:
    return {
        "subject": outstanding.subject,
        "category": outstanding.category,
        "need": outstanding.need,
        "what": outstanding.what,
        "at_whom": outstanding.at_whom,
        "since": outstanding.since.isoformat() if outstanding.since else None,
        "due": outstanding.due.isoformat() if outstanding.due else None,
        "price_minor": outstanding.price.minor if outstanding.price else None,
        "currency": outstanding.price.currency if outstanding.price else currency,
        "count": outstanding.count,
    }


def _write_line(
    session: Session,
    row: OutstandingRow,
    change: Edit,
    text: str,
    *,
    came: int | None = None,
    deleted: bool = False,
) -> str:
    """Append the line that tells of it, in sight of all that is known of its subject."""
    what = " ".join(word for word in (row.what, f"({row.at_whom})" if row.at_whom else "") if word)
    words = f"{text.removesuffix(':')}: {what}" if what else text
    values = {key: getattr(row, key) for key in OUTSTANDING_FIELDS}
    body = Treat(**values, wait=row.id, said=words, came=came, deleted=deleted)
    item_id = as_outstanding(row).item_id
    tips = History(lines_of(session, row.subject)).tips() if item_id else ()
    line = change.writer.say(row.subject, body, tips)
    append(session, line, build_id=row.build_id, now=change.now)
    return line.id


def end_outstanding(
    session: Session, outstanding_id: str, change: Edit, *, count: int | None = None
) -> Problem | None:
    """Write down that what was waited for is over: back, arrived, soaked, returned or sold.

    Args:
        session: Of a unit of work.
        outstanding_id: Which one; it must be there.
        change: By whom and when. A `rev` that is not the row's is a `stale` problem.
        count: How many pieces; fewer than are waited for leave it open for the rest. By default all.
    """
    row = session.get_one(OutstandingRow, outstanding_id)
    if row.rev != change.rev:
        return STALE
    if row.done_on:
        return Problem("done", "Somebody else has closed this already.")
    if count is not None and not 1 <= count <= row.count:
        return Problem("count", f"A count from 1 to {row.count}: so many are waited for.", "count")
    came = row.count if count is None else count
    row.rev += 1
    text = _LINE_TEXT[row.category][1]
    if came < row.count:
        row.count -= came
        text = f"{came} {text}, {row.count} still to come:"
    else:
        row.done_on = change.today.isoformat()
    line_id = _write_line(session, row, change, text, came=came)
    row.done_line = line_id if row.done_on else None
    return None


def reopen_outstanding(session: Session, outstanding_id: str, change: Edit) -> Problem | None:
    """Take back that it is over: a slip of the finger."""
    row = session.get_one(OutstandingRow, outstanding_id)
    if row.rev != change.rev:
        return STALE
    row.done_on = row.done_line = None
    row.rev += 1
    _write_line(session, row, change, f"again {_LINE_TEXT[row.category][0]}")
    return None


def drop_outstanding(session: Session, outstanding_id: str, change: Edit) -> Problem | None:
    """Take something off the list that was written by mistake; the journal keeps that it was there."""
    row = session.get_one(OutstandingRow, outstanding_id)
    if row.rev != change.rev:
        return STALE
    _write_line(session, row, change, "taken off the list:", deleted=True)
    session.delete(row)
    return None
