"""Lines that phones send: a fact is never refused for a rule of the trade."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.ids import is_id
from app.core.items.bodies.base import unreadable
from app.core.items.bodies.reading import PHONE_VERBS, record_type
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from app.core.problem import Problem
from app.store.crew import Visitor
from app.store.db.models import ItemRow, JournalRow
from app.store.gates import check_fact
from app.store.intake.entries import (
    NO_BUILD,
    UNKNOWN_FORM,
    IntakeAnswer,
    build_of,
    is_act,
    is_subject,
    refuse,
    who_did,
)
from app.store.intake.pairs import wrong_half
from app.store.journal import append

NOUNS = frozenset({"item", "step", "place", "gate", "build"})
"""What phones can say something of."""


def receive_line(session: Session, entry: Mapping[str, Any], visitor: Visitor, now: str) -> IntakeAnswer:
    """Write the line an entry carries, or say what cannot be read in it."""
    build = build_of(session, entry)
    if build is None:
        return refuse(NO_BUILD)
    line = _line(entry, visitor, who_did(session, entry, visitor))
    problem = line if isinstance(line, Problem) else check_line(session, line)
    if isinstance(line, Problem) or problem:
        return refuse(problem or NO_BUILD)
    if session.scalars(select(JournalRow.id).where(JournalRow.id == line.id)).first() is None:
        append(session, line, build_id=build.id, now=now)
    return IntakeAnswer(200, {"line": line.id})


def _line(entry: Mapping[str, Any], visitor: Visitor, person: str) -> Line | Problem:
    """Return the line an entry carries, or what is wrong with its form."""
    body, after, verb = entry.get("body"), entry.get("after", []), entry.get("verb")
    if not isinstance(body, Mapping) or not isinstance(after, list) or not isinstance(verb, str):
        return UNKNOWN_FORM
    if not all(map(is_id, after)):
        return Problem("form", "The entry names a line by what is no number. Reload the page and mark again.")
    return Line(
        id=str(entry["id"]),
        subject=str(entry.get("subject", "")),
        verb=verb,
        body=dict(body),
        after=frozenset(after),
        person=person,
        device=visitor.device,
        at=str(entry.get("at", ""))[:40],
    )


def check_line(session: Session, line: Line) -> Problem | None:
    """Return what makes a line unreadable, or `None`. What breaks a rule of the trade is not refused here.

    A line of a verb, a noun or a key that no release up to this one knows is of an unknown form.
    """
    noun, _, subject_id = line.subject.partition(":")
    if noun not in NOUNS and noun and is_id(subject_id):
        return UNKNOWN_FORM
    if not is_subject(line.subject, NOUNS):
        return Problem("subject", "The entry does not say what it is about.", "subject")
    body = record_type(line.verb, noun)
    if line.verb not in PHONE_VERBS or body.unknown(line.body):
        return UNKNOWN_FORM
    return body.check(line.body) or _check_act(session, line) or check_fact(line) or wrong_half(session, line)


def _check_act(session: Session, line: Line) -> Problem | None:
    """Refuse an act that this kind of thing has not got, where its kind is known."""
    noun, _, subject_id = line.subject.partition(":")
    row = session.get(ItemRow, subject_id) if noun == "item" else None
    kind = Kind.STEP if noun == "step" else Kind(row.kind) if row else None
    return unreadable("act") if "act" in line.body and not is_act(line.body["act"], kind) else None
