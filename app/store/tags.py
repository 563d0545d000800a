"""Tags: printed blank, given once, void for ever."""

import secrets
from dataclasses import dataclass

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.items.bodies.papers import AddSheet
from app.core.items.journal import Line
from app.core.tags import draw_code
from app.store.db.clock import new_id
from app.store.db.models import PrintedAddress, Sheet, Tag
from app.store.journal import append


@dataclass(frozen=True, slots=True)
class TagFacts:
    """What is known of a code: `state` is blank, used, void or unknown."""

    code: str
    state: str
    subject: str = ""


def look_up(session: Session, code: str) -> TagFacts:
    """Return what is known of a code."""
    tag = session.get(Tag, code)
    if tag is None:
        return TagFacts(code, "unknown")
    if tag.void_at:
        return TagFacts(code, "void", tag.subject or "")
    return TagFacts(code, "used", tag.subject) if tag.subject else TagFacts(code, "blank")


def issued_codes(session: Session) -> frozenset[str]:
    """Return every code this folder knows."""
    return frozenset(session.scalars(select(Tag.code)))


def print_sheet(
    session: Session,
    *,
    count: int,
    grid: str,
    halves: bool,
    name: str,
    port: int,
    now: str,
    person: str = "",
    device: str = "",
) -> tuple[Sheet, tuple[str, ...]]:
    """Draw fresh codes for a sheet and remember the address that stands on it.

    Args:
        session: Of a unit of work.
        count: How many codes.
        grid: On which labels.
        halves: Whether each label has both halves of a tag.
        name: The name that stands on them.
        port: The port that stands on them.
        now: The server's time.
        person: Who prints.
        device: From which device.
    """
    sheet = Sheet(
        id=new_id(),
        nr=(session.scalar(select(func.max(Sheet.nr))) or 0) + 1,
        grid=grid,
        halves=halves,
        name=name,
        port=port,
        made_at=now,
    )
    session.add(sheet)
    session.flush()
    known = set(issued_codes(session))
    codes: list[str] = []
    while len(codes) < count:
        code = draw_code(secrets.choice)
        if code not in known:
            known.add(code)
            codes.append(code)
    codes.sort()
    session.add_all(Tag(code=code, sheet_id=sheet.id, subject=None, void_at=None) for code in codes)
    if session.get(PrintedAddress, (name, port)) is None:
        session.add(PrintedAddress(name=name, port=port))
    said = AddSheet(
        nr=sheet.nr, grid=grid, halves=halves, name=name, port=port, made_at=now, codes=tuple(codes)
    )
    line = Line(new_id(), f"sheet:{sheet.id}", said.VERB, said.stored(), person=person, device=device)
    append(session, line, build_id=None, now=now)
    return sheet, tuple(codes)


def codes_of(session: Session, sheet_id: str) -> tuple[str, ...]:
    """Return a sheet's codes, in the order in which they were printed."""
    return tuple(session.scalars(select(Tag.code).where(Tag.sheet_id == sheet_id).order_by(Tag.code)))


def give(session: Session, code: str, subject: str, line: Line, *, build_id: str, now: str) -> bool:
    """Give a blank (or unknown, then adopted) tag to something; tell whether it was free."""
    tag = session.get(Tag, code)
    if tag is None:
        tag = Tag(code=code, sheet_id=None, subject=None, void_at=None)
        session.add(tag)
    if tag.void_at or (tag.subject and tag.subject != subject):
        return False
    if tag.subject is None:
        tag.subject = subject
        append(session, line, build_id=build_id, now=now)
    return True


def make_void(session: Session, code: str, line: Line, *, build_id: str | None, now: str) -> bool:
    """Take a tag out of use for ever; tell whether it was in use."""
    tag = session.get(Tag, code)
    if tag is None or tag.void_at:
        return False
    tag.void_at = now
    append(session, line, build_id=build_id, now=now)
    return True
