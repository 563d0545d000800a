"""What phones send: every entry lands exactly once, whoever sent it and however often."""

import json
from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any

from sqlalchemy.orm import Session

from app.core.ids import is_id
from app.core.intake.forms import entry_of_form
from app.core.problem import Problem
from app.store.crew import Visitor
from app.store.db.models import Quarantine, Receipt
from app.store.intake.captures import receive_capture
from app.store.intake.entries import UNKNOWN_FORM, IntakeAnswer, Sent, refuse
from app.store.intake.lines import receive_line
from app.store.journal import item_behind


def receipt_by_id(session: Session, entry_id: str) -> IntakeAnswer | None:
    """Return what was answered to an entry of this id, whatever it said: spares reading its photo again."""
    found = session.get(Receipt, entry_id) if is_id(entry_id) else None
    return IntakeAnswer(found.status, dict(found.answer)) if found else None


def receipt_for(session: Session, sent: Sent) -> IntakeAnswer | None:
    """Return what was answered to this entry before; another body under the same id is told so."""
    found = session.get(Receipt, str(sent.entry.get("id", "")))
    if found is None:
        return None
    if found.body_sha != sent.sha:
        return refuse(Problem("other-body", "Another entry has already come under this number."), 409)
    return IntakeAnswer(found.status, dict(found.answer))


QUARANTINED = "This phone was shut out; the owner decides about what it still sends."
"""What such a phone is told; pages of earlier releases look for it under `aside`."""

NOT_KNOWN = "This program does not know what this says. It is kept for the owner, who can let it in later."
"""What the sender of an unknown form is told."""

KNOWN_KEYS = frozenset(
    {"id", "folder", "at", "type", "sort", "build", "subject", "person"}
    | {"verb", "body", "after"}
    | {"form", "fields"}
    | {"item", "kind", "act", "step", "zone", "code", "about", "what", "blocks", "closes"}
)
"""Every key of an entry that any release up to this one has sent."""

SHUT_OUT = "shut out"
UNKNOWN = "unknown form"


def receive(session: Session, sent: Sent, visitor: Visitor, *, now: str) -> IntakeAnswer:
    """Take one entry in; the answer is stored beside it in the same transaction.

    Args:
        session: Of a unit of work.
        sent: The entry.
        visitor: Whose phone it came from; one that was shut out has its entries put aside.
        now: The server's time.
    """
    entry_id = sent.entry.get("id")
    if not is_id(entry_id):
        return refuse(
            Problem("id", "The entry has no number of its own; reload the page and try again.", "id")
        )
    if not _is_storable(sent.entry):
        return refuse(Problem("text", "The entry holds signs that are no text. Type them again."))
    before = receipt_for(session, sent)
    if before:
        return before
    if visitor.shut:
        answer = _quarantine(session, sent, visitor, now, why=SHUT_OUT, told=QUARANTINED)
    else:
        answer = apply_entry(session, sent, visitor, now=now)
        if answer.body.get("code") == UNKNOWN_FORM.code:
            answer = _quarantine(session, sent, visitor, now, why=UNKNOWN, told=NOT_KNOWN)
    if answer.status < 400:  # noqa: PLR2004 - HTTP: below 400 it landed
        session.add(
            Receipt(
                id=str(entry_id),
                device=visitor.device,
                body_sha=sent.sha,
                status=answer.status,
                answer=answer.body,
            )
        )
    return answer


def apply_entry(session: Session, sent: Sent, visitor: Visitor, *, now: str) -> IntakeAnswer:
    """Write what an entry says, whoever lets it in."""
    if sent.entry.keys() - KNOWN_KEYS:
        return refuse(UNKNOWN_FORM)
    match entry_type(sent.entry):
        case "capture":
            return receive_capture(session, sent, visitor, now)
        case "line":
            return receive_line(session, sent.entry, visitor, now)
        case "form":
            return _receive_form(session, sent, visitor, now)
    return refuse(UNKNOWN_FORM)


def _receive_form(session: Session, sent: Sent, visitor: Visitor, now: str) -> IntakeAnswer:
    """Write what a form says, whether its page sent it at once or the phone kept it."""
    noun, _, subject_id = str(sent.entry.get("subject", "")).partition(":")
    subject = f"{noun}:{subject_id}" if noun in {"item", "step"} else ""
    said = entry_of_form(sent.entry, item_behind(session, subject) if subject else None)
    if said is None:
        return refuse(UNKNOWN_FORM)
    if isinstance(said, Problem):
        return refuse(said)
    return apply_entry(session, replace(sent, entry=said), visitor, now=now)


def entry_type(entry: Mapping[str, Any]) -> str:
    """Return what an entry is, `form`, `capture` or `line`; earlier releases called the key `sort`."""
    return str(entry.get("type") or entry.get("sort") or "line")


def _is_storable(entry: Mapping[str, Any]) -> bool:
    """Tell whether all its text can be stored: JSON can carry halves of characters, a database cannot."""
    try:
        json.dumps(entry, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return False
    return True


def _quarantine(
    session: Session, sent: Sent, visitor: Visitor, now: str, *, why: str, told: str
) -> IntakeAnswer:
    session.add(
        Quarantine(
            id=str(sent.entry["id"]),
            device=visitor.device,
            body={
                "entry": dict(sent.entry),
                "picture": asdict(sent.picture) if sent.picture else None,
                "codes": list(sent.codes),
            },
            why=why,
            at=now,
            decided=None,
        )
    )
    return IntakeAnswer(202, {"quarantined": told, "aside": told})
