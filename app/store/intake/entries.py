"""An entry of a phone's outbox as it comes, and what the phone is told."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.ids import is_id
from app.core.items.kinds import Act, Kind, knows
from app.core.problem import Problem
from app.store.crew import Visitor
from app.store.db.models import Build, Person

NO_BUILD = Problem("build", "This page belongs to a build that is not here. Open the build again.", "build")

UNKNOWN_FORM = Problem(
    "unknown-form", "This program does not know what the entry says. Update it, then let the entry in."
)
"""What no release up to this one has sent: a newer page did, or a broken one. It is kept for the owner."""


@dataclass(frozen=True, slots=True)
class StoredPicture:
    """A picture already on the disk."""

    sha256: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Sent:
    """One entry of a phone's outbox, as it came.

    Args:
        entry: Its fields; a line or a capture.
        picture: What was photographed, shrunk and stored, or `None`.
        codes: The codes read in the full-size photograph, in reading order.
    """

    entry: Mapping[str, Any]
    picture: StoredPicture | None = None
    codes: tuple[str, ...] = ()

    @property
    def sha(self) -> str:
        """The digest of what was sent: the same id with another body is a mistake of the sender."""
        body = json.dumps([self.entry, self.picture.sha256 if self.picture else ""], sort_keys=True)
        return hashlib.sha256(body.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class IntakeAnswer:
    """What the phone is told: an HTTP status and a JSON body."""

    status: int
    body: dict[str, Any] = field(default_factory=dict)


def refuse(problem: Problem, status: int = 422) -> IntakeAnswer:
    """Return the answer to an entry that can never land as it is."""
    return IntakeAnswer(status, {"problem": problem.message, "code": problem.code, "where": problem.where})


def is_act(value: object, kind: Kind | None) -> bool:
    """Tell whether this is an act, of this kind of thing where the kind is known."""
    return isinstance(value, str) and value in set(Act) and (kind is None or knows(kind, Act(value)))


def is_subject(value: str, types: frozenset[str]) -> bool:
    """Tell whether this is a subject of one of these types, such as `item:` with an id."""
    subject_type, _, subject_id = value.partition(":")
    return subject_type in types and is_id(subject_id)


def derived_id(*parts: str) -> str:
    """Return an id that follows from others, so that the same entry sent twice makes the same rows."""
    return hashlib.sha256("/".join(parts).encode()).hexdigest()[:32]


def who_did(session: Session, entry: Mapping[str, Any], visitor: Visitor) -> str:
    """Return the person an entry names, or the phone's own where it names none that is known."""
    person = str(entry.get("person") or "")
    known = session.scalar(select(Person.id).where(Person.id == person))
    return known or visitor.person


def build_of(session: Session, entry: Mapping[str, Any]) -> Build | None:
    """Return the build an entry names, if it is here."""
    return session.get(Build, str(entry.get("build", "")))
