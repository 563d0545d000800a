"""Picture files: named by the SHA-256 of their bytes, on the disk before any row names them."""

import hashlib
import re
from contextlib import suppress
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.db.clock import new_id
from app.store.db.files import keep_names, put_in_place
from app.store.db.models import JournalRow, PhotoRow, Quarantine

_NAME = re.compile(r"[0-9a-f]{64}")


def keep_picture(folder: Path, jpeg: bytes) -> str:
    """Write a picture durably and return its SHA-256; the same bytes are written once.

    Raises:
        OSError: The disk is full or cannot be written; nothing half-written stays under the final name.
    """
    sha = hashlib.sha256(jpeg).hexdigest()
    target = picture_path(folder, sha)
    if target.exists():
        return sha
    if not target.parent.is_dir():
        target.parent.mkdir(parents=True, exist_ok=True)
        keep_names(folder)
    partial = target.with_name(f"{sha}.{new_id()}.part")
    try:
        partial.write_bytes(jpeg)
        put_in_place(partial, target)
    finally:
        partial.unlink(missing_ok=True)
    return sha


def drop_unnamed(session: Session, folder: Path, sha: str) -> None:
    """Take a picture's file away where no row, no entry put aside and no line names it.

    Call it inside the unit of work that would have named it: then nobody else is writing such a row. A file
    that the disk does not let go stays; the folder's check tells of it.
    """
    if not _is_named(session, sha):
        with suppress(OSError):
            picture_path(folder, sha).unlink(missing_ok=True)


def _is_named(session: Session, sha: str) -> bool:
    named = (
        select(PhotoRow.id).where(PhotoRow.sha256 == sha),
        select(Quarantine.id).where(Quarantine.body["picture"]["sha256"].as_string() == sha),
        select(JournalRow.id).where(JournalRow.verb == "photo", JournalRow.body["sha256"].as_string() == sha),
    )
    return any(session.scalar(query.limit(1)) for query in named)


def picture_path(folder: Path, sha: str) -> Path:
    """Return where a picture lies.

    Raises:
        ValueError: This is no SHA-256 in hexadecimal.
    """
    if not _NAME.fullmatch(sha):
        raise ValueError(f"not a picture's name: {sha!r}")
    return folder / sha[:2] / f"{sha}.jpg"
