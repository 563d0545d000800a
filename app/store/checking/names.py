"""What people call the things that a check speaks of."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.db.models import Build, ItemRow, PhotoRow, Place, Step, Zone

TABLES = {"item": ItemRow, "step": Step, "place": Place, "zone": Zone, "build": Build, "photo": PhotoRow}
"""The tables of what a tag, a photo or something awaited can be about."""


def called(session: Session, subject: str) -> str:
    """Return what people call a subject, such as `#12 Pump (build 1)`; its id where it is not there."""
    subject_type, _, subject_id = subject.partition(":")
    table = TABLES.get(subject_type)
    row = session.get(table, subject_id) if table else None
    match row:
        case ItemRow():
            return f"#{row.number} {row.name}".rstrip() + _of_build(session, row.build_id)
        case Step() | Place():
            return f"{subject_type} «{row.name}»{_of_build(session, row.build_id)}"
        case Zone():
            return f"zone «{row.label}»{_of_build(session, row.build_id)}"
        case Build():
            return f"build {row.nr}"
        case _:
            return f"{subject_type} {subject_id}"


def _of_build(session: Session, build_id: str) -> str:
    nr = session.scalar(select(Build.nr).where(Build.id == build_id))
    return f" (build {nr})" if nr else ""
