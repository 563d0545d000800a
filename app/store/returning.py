"""Where work stopped: the newest lines of a build and the stops among them."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.gates.returning import Stop, stops
from app.core.items.journal import Line
from app.store.db.models import JournalRow
from app.store.journal import as_line, newest

DONE = ("add", "mark", "settle")
"""Verbs of work done on something."""

_ABOUT_THINGS = ("item:", "step:")


def newest_stop(session: Session, build_id: str) -> Stop | None:
    """Return the newest "stopped here" in force, if nobody has worked since it was said."""
    rows = select(JournalRow).where(JournalRow.subject == f"build:{build_id}").order_by(JournalRow.seq)
    said = stops(as_line(row) for row in session.scalars(rows))
    last = newest_work(session, build_id, limit=1)
    return said[0] if said and (not last or last[0].seq < said[0].seq) else None


def newest_work(session: Session, build_id: str, *, limit: int) -> list[Line]:
    """Return the newest acts on things, newest first."""
    found = newest(session, build_id, limit=limit * 4, verbs=DONE)
    return [line for line in found if line.subject.startswith(_ABOUT_THINGS) and line.record.act][:limit]


def newest_fact(session: Session, build_id: str) -> Line | None:
    """Return the newest thing that anybody did or said: an act or a stop."""
    found = newest(session, build_id, limit=1, verbs=(*DONE, "count", "stop", "answer", "pass", "start"))
    return found[0] if found else None


def first_off(session: Session, build_id: str) -> Line | None:
    """Return the first line about a thing: from then on the vehicle stood."""
    row = session.scalars(
        select(JournalRow)
        .where(JournalRow.build_id == build_id, JournalRow.subject.startswith("item:"))
        .order_by(JournalRow.seq)
        .limit(1)
    ).first()
    return as_line(row) if row else None
