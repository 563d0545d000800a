"""People and the devices they are let in with."""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.db.clock import new_id, stamp
from app.store.db.models import Device, Pairing, Person

ROLES = ("owner", "helper", "onlooker")
PAIRING_LASTS = timedelta(minutes=10)


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who is behind a request: a device that was let in, and whose it is."""

    device: str
    person: str
    name: str
    role: str
    shut: bool

    @property
    def may_write(self) -> bool:
        """Whether this device may mark things."""
        return self.role in {"owner", "helper"} and not self.shut

    @property
    def is_owner(self) -> bool:
        """Whether this device decides what only the owner decides."""
        return self.role == "owner"


def digest(key: str) -> str:
    """Return the form in which a key is stored."""
    return hashlib.sha256(key.encode()).hexdigest()


def visitor_by_key(session: Session, key: str) -> Visitor | None:
    """Return who holds a device key, shut out or not; `None` where nobody does."""
    found = session.execute(
        select(Device.id, Device.person_id, Person.name, Device.role, Device.shut_at)
        .join(Person, Person.id == Device.person_id)
        .where(Device.key_hash == digest(key)),
    ).one_or_none()
    return Visitor(found[0], found[1], found[2], found[3], found[4] is not None) if found else None


def people(session: Session) -> list[Person]:
    """Return the crew, by name."""
    return list(session.scalars(select(Person).order_by(Person.name)))


def doers(session: Session) -> list[Person]:
    """Return who can have done something: people with a device that may mark and is not shut out."""
    marks = select(Device.person_id).where(Device.role != "onlooker", Device.shut_at.is_(None))
    return list(session.scalars(select(Person).where(Person.id.in_(marks)).order_by(Person.name)))


def person_named(session: Session, name: str) -> Person:
    """Return the person of that name, new or known."""
    person = session.scalars(select(Person).where(Person.name == name)).first()
    if person is None:
        person = Person(id=new_id(), name=name)
        session.add(person)
        session.flush()
    return person


def let_in(session: Session, *, name: str, label: str, role: str, now: datetime) -> tuple[Device, str]:
    """Let a device in.

    Returns:
        The device and its key, which is shown to nobody else and stored only as a digest.
    """
    key = secrets.token_urlsafe(32)
    device = Device(
        id=new_id(),
        person_id=person_named(session, name).id,
        label=label,
        role=role,
        key_hash=digest(key),
        made_at=stamp(now),
        seen_at=stamp(now),
        shut_at=None,
    )
    session.add(device)
    session.flush()
    return device, key


def shut_out(session: Session, device_id: str, now: datetime) -> bool:
    """Shut a device out from now on; tell whether there was one."""
    device = session.get(Device, device_id)
    if device is None:
        return False
    device.shut_at = device.shut_at or stamp(now)
    return True


def new_pairing(session: Session, role: str, now: datetime) -> str:
    """Return a fresh pairing code: it lets one phone in, once, for ten minutes."""
    token = secrets.token_urlsafe(16)
    session.add(
        Pairing(token_hash=digest(token), role=role, ends_at=stamp(now + PAIRING_LASTS), spent_at=None),
    )
    return token


def pairing(session: Session, token: str, now: datetime) -> Pairing | None:
    """Return a pairing that can still be spent."""
    found = session.get(Pairing, digest(token))
    if found is None or found.spent_at or found.ends_at <= stamp(now):
        return None
    return found


def spend_pairing(
    session: Session, token: str, *, name: str, label: str, now: datetime
) -> tuple[Device, str] | None:
    """Spend a pairing: return the device and its key, or `None` where the code is spent, over or unknown."""
    found = pairing(session, token, now)
    if found is None:
        return None
    found.spent_at = stamp(now)
    return let_in(session, name=name, label=label, role=found.role, now=now)
