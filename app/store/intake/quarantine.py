"""What a phone sent after it was shut out, or in an unknown form: kept until the owner decides about it."""

from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.crew import Visitor
from app.store.db.models import Device, Person, Quarantine
from app.store.intake.entries import IntakeAnswer, Sent, StoredPicture
from app.store.intake.intake import apply_entry


@dataclass(frozen=True, slots=True)
class Quarantined:
    """One entry that waits for the owner.

    Args:
        id: The entry's.
        name: Who holds the phone.
        label: What the phone is called.
        at: When it came.
        body: What the entry says.
        why: `shut out` or `unknown form`.
    """

    id: str
    name: str
    label: str
    at: str
    body: dict[str, Any]
    why: str = ""


def quarantined(session: Session) -> tuple[Quarantined, ...]:
    """Return what waits, oldest first."""
    rows = session.execute(
        select(Quarantine, Person.name, Device.label)
        .join(Device, Device.id == Quarantine.device)
        .join(Person, Person.id == Device.person_id)
        .where(Quarantine.decided.is_(None))
        .order_by(Quarantine.at, Quarantine.id)
    )
    return tuple(Quarantined(row.id, name, label, row.at, _entry(row), row.why) for row, name, label in rows)


def decide(
    session: Session, entry_id: str, *, take_in: bool, owner: Visitor, now: str
) -> IntakeAnswer | None:
    """Let an entry in as its phone's own, or leave it out for good.

    Returns:
        What came of it; `None` where no such entry waits any more. What can never land goes on waiting.
    """
    row = session.get(Quarantine, entry_id)
    if row is None or row.decided:
        return None
    if not take_in:
        row.decided = f"left out {now}"
        return IntakeAnswer(200)
    device = session.get_one(Device, row.device)
    sender = replace(owner, device=device.id, person=device.person_id)
    answer = apply_entry(session, _sent(row), sender, now=now)
    if answer.status < 400:  # noqa: PLR2004 - HTTP: below 400 it landed
        row.decided = f"let in {now}"
    return answer


def _entry(row: Quarantine) -> dict[str, Any]:
    return dict(row.body.get("entry", row.body))


def _sent(row: Quarantine) -> Sent:
    picture = row.body.get("picture")
    return Sent(_entry(row), StoredPicture(**picture) if picture else None, tuple(row.body.get("codes", ())))
