"""The picture files held against their rows, a share of the names at a time."""

import hashlib
import re
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path

from sqlalchemy import not_, select
from sqlalchemy.orm import Session

from app.core.checking import picture_problems
from app.core.problem import Problem
from app.store.db.models import Build, PhotoRow, Quarantine

Reading = Callable[[], AbstractContextManager[Session]]
"""Gives a session that sees the database as it is then."""

_FOLDER = re.compile(r"[0-9a-f]{2}")

BEING_WRITTEN_S = 60
"""A picture lies on the disk before any row names it: a younger file is not called left over, [s]."""

_SHARES = "0123456789abcdef"


def photo_problems(reading: Reading, folder: Path, *, now: float) -> Iterator[Problem]:
    """Yield the pictures that are missing, changed or without a row.

    No more than a sixteenth of the names is held, and a little of one picture. Each share is read afresh, so
    that a running server is not kept from tidying its log.

    Args:
        reading: Opens the database.
        folder: Where the pictures lie.
        now: The time, [s] since 1970.
    """
    for share in _SHARES:
        named = _named(reading, share)  # before the files: a row is never there before its file
        files = [path for second in _SHARES for path in _files(folder / f"{share}{second}")]
        found = {path.stem: _digest(path) for path in files if path.suffix == ".jpg"}
        rowless = {
            path.stem
            for path in files
            if path.suffix == ".jpg" and path.stem not in named and _age(path, now) > BEING_WRITTEN_S
        }
        if rowless:
            rowless -= _named(reading, share).keys()
        yield from picture_problems(named, found, rowless=rowless)
        for path in files:
            if path.suffix != ".jpg" and _age(path, now) > BEING_WRITTEN_S:
                yield Problem("photo-unfinished", f"The file {path.name} is no picture.", "the pictures")
    yield from _strangers(folder)
    yield from _misnamed(reading)


def _named(reading: Reading, share: str) -> dict[str, str]:
    """Return the digests of a share that rows name, each with where its picture belongs."""
    aside = Quarantine.body["picture"]["sha256"].as_string()
    with reading() as session:
        entries = session.scalars(select(aside).where(aside.startswith(share)))
        found = dict.fromkeys(entries, "an entry that was put aside")
        rows = session.execute(
            select(PhotoRow.sha256, PhotoRow.id, PhotoRow.build_id).where(PhotoRow.sha256.startswith(share))
        )
        numbers = {build: f"build {nr}" for build, nr in session.execute(select(Build.id, Build.nr))}
        for sha, photo, build in rows:
            found[sha] = f"photo {photo} of {numbers.get(build, build)}"
        return found


def _misnamed(reading: Reading) -> Iterator[Problem]:
    """Yield the rows whose digest is none: no file can have that name."""
    with reading() as session:
        for photo, sha in session.execute(
            select(PhotoRow.id, PhotoRow.sha256).where(
                not_(PhotoRow.sha256.op("GLOB", is_comparison=True)("[0-9a-f]" * 64))
            )
        ):
            yield Problem(
                "photo-misnamed", f"It names «{sha}», which is no picture's name.", f"photo {photo}"
            )


def _strangers(folder: Path) -> Iterator[Problem]:
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        if not _FOLDER.fullmatch(path.name):
            yield Problem("photo-unfinished", f"{path.name} does not belong there.", "the pictures")


def _files(folder: Path) -> list[Path]:
    return sorted(folder.iterdir()) if folder.is_dir() else []


def _digest(path: Path) -> str:
    """Return the SHA-256 of a file's bytes; empty where the disk does not give them."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def _age(path: Path, now: float) -> float:
    try:
        return now - path.stat().st_mtime
    except OSError:
        return 0.0
