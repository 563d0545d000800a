"""What a photo shows: said where it was taken, or given to it later from the tray."""

from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.db.models import PhotoRow, Shows
from app.store.journal import append
from app.store.plan.builds import Writer


def give_photo(
    session: Session, photo: PhotoRow, subjects: Sequence[str], *, writer: Writer, now: str
) -> None:
    """Write down that a photo shows these too, such as `item:…` or `zone:…`."""
    there = set(session.scalars(select(Shows.subject).where(Shows.photo_id == photo.id)))
    session.add_all(Shows(photo_id=photo.id, subject=subject) for subject in subjects if subject not in there)
    line = writer.line(f"photo:{photo.id}", "give", {"shows": list(subjects)})
    append(session, line, build_id=photo.build_id, now=now)
