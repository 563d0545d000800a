"""Lines that phones send: a fact is never refused for a rule of the trade."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.ids import is_id
from app.core.items.amounts import is_amount
from app.core.items.items import DESTINIES, FATES
from app.core.items.journal import VERBS, Line
from app.core.items.kinds import Kind
from app.core.problem import Problem
from app.core.threads.positions import read_lengths
from app.store.crew import Visitor
from app.store.db.models import ItemRow, JournalRow
from app.store.gates import check_fact
from app.store.intake.entries import (
    NO_BUILD,
    IntakeAnswer,
    build_of,
    is_act,
    is_subject,
    refuse,
    who_did,
)
from app.store.intake.pairs import wrong_half
from app.store.journal import append

PLAN_VERBS = frozenset({"add", "edit", "give", "void", "photo"})
"""Verbs that only the server writes, with the row they are about."""

PIECES = ("", "renewed", "spare", "lost", "tool")

AMOUNT_SIDES = ("drained", "filled")

SETTLED_KEYS = frozenset({"act", "piece", "destiny", "fate", "place", "lengths"})
"""What lines can disagree about: a settling line says one of them."""

SHORT_TEXTS = {"reached": 80, "wrench": 80, "caution": 40, "torque": 500, "lengths": 500, "reason": 500}
"""Texts of a line's body and how long they may be, [characters]."""


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
    body, after = entry.get("body"), entry.get("after", [])
    if not isinstance(body, Mapping) or not isinstance(after, list) or not all(map(is_id, after)):
        return Problem(
            "form", "The entry is not in the form of this program. Reload the page and mark it again."
        )
    return Line(
        id=str(entry["id"]),
        subject=str(entry.get("subject", "")),
        verb=str(entry.get("verb", "")),
        body=dict(body),
        after=frozenset(after),
        person=person,
        device=visitor.device,
        at=str(entry.get("at", ""))[:40],
    )


def check_line(session: Session, line: Line) -> Problem | None:
    """Return what makes a line unreadable, or `None`. What breaks a rule of the trade is not refused here."""
    if line.verb not in VERBS or line.verb in PLAN_VERBS:
        return Problem("verb", "This program does not know what the entry says. Update the page.", "verb")
    if not is_subject(line.subject, frozenset({"item", "step", "place", "gate", "build"})):
        return Problem("subject", "The entry does not say what it is about.", "subject")
    return check_fact(line) or wrong_half(session, line) or _check_body(session, line)


def _check_body(session: Session, line: Line) -> Problem | None:
    body = line.body
    subject_type, _, subject_id = line.subject.partition(":")
    row = session.get(ItemRow, subject_id) if subject_type == "item" else None
    kind = Kind.STEP if subject_type == "step" else Kind(row.kind) if row else None
    wrong = [
        (
            "act" in body and not is_act(body["act"], kind),
            "act",
        ),
        ("pos" in body and not _are_positions(body["pos"]), "pos"),
        ("stage" in body and not _is_count(body["stage"], 0, 99), "stage"),
        ("piece" in body and body["piece"] not in PIECES, "piece"),
        ("destiny" in body and body["destiny"] not in DESTINIES, "destiny"),
        ("fate" in body and body["fate"] not in FATES, "fate"),
        ("place" in body and body["place"] != "" and not is_id(body["place"]), "place"),
        (line.verb == "mark" and "act" not in body, "act"),
        (line.verb == "settle" and not SETTLED_KEYS & body.keys(), "act"),
        (line.verb == "undo" and not is_id(body.get("line")), "line"),
        *((key in body and not _is_short(body[key], most), key) for key, most in SHORT_TEXTS.items()),
        (line.verb == "acknowledge" and not {"caution", "torque"} <= body.keys(), "caution"),
        ("lengths" in body and isinstance(read_lengths(str(body["lengths"]), 0), Problem), "lengths"),
        ("litres" in body and not is_amount(body["litres"]), "litres"),
        ("of" in body and body["of"] not in AMOUNT_SIDES, "of"),
        ("amounts" in body and body["amounts"] != "right", "amounts"),
    ]
    field_name = next((name for is_wrong, name in wrong if is_wrong), None)
    if field_name:
        return Problem(
            "body", f"The entry's «{field_name}» cannot be read. Mark it again on a fresh page.", field_name
        )
    return None


def _is_short(value: object, most: int) -> bool:
    return isinstance(value, str) and len(value) <= most


def _is_count(value: object, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _are_positions(value: object) -> bool:
    return isinstance(value, list) and len(value) > 0 and all(_is_count(n, 1, 999) for n in value)
