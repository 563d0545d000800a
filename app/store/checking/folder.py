"""A whole data folder looked through: the database first, then what its rows say, then the pictures."""

from collections.abc import Callable, Iterator
from pathlib import Path

from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import Session

from app.core.problem import Problem
from app.store.checking.lines import line_problems
from app.store.checking.pictures import photo_problems
from app.store.checking.references import reference_problems
from app.store.checking.tables import (
    file_problems,
    foreign_key_problems,
    guard_problems,
    json_problems,
)
from app.store.db.database import reading_beside
from app.store.db.migrating import NotADatabaseError, refuse_other_tables
from app.store.folder import DATABASE_FILE


def check_folder(path: Path, *, now: float) -> Iterator[Problem]:
    """Yield what is wrong in a data folder, also one that a running Putback owns; nothing is changed.

    Args:
        path: The data folder.
        now: The time, [s] since 1970.

    Raises:
        MigratingError: It holds no database yet, one of another version, or something else.
    """
    database = path / DATABASE_FILE
    damaged = False
    for problem in _on_the_file(database):
        damaged = True
        yield problem
    if damaged:
        yield Problem("not-looked-at", "Because of this nothing else was looked at.", "the database")
        return
    refuse_other_tables(database)
    unreadable = False
    for problem in _on_the_rows(database, json_problems):
        unreadable = True
        yield problem
    yield from _on_the_rows(database, guard_problems)
    yield from _on_the_rows(database, foreign_key_problems)
    if unreadable:
        yield Problem(
            "not-looked-at",
            "Because of this the lines of its journal were not looked at.",
            "the database",
        )
    else:
        yield from _on_the_rows(database, line_problems)
        yield from _on_the_rows(database, reference_problems)
    yield from photo_problems(lambda: reading_beside(database), path / "photos", now=now)


def _on_the_file(database: Path) -> Iterator[Problem]:
    if not database.is_file() or database.stat().st_size == 0:
        return
    try:
        with reading_beside(database) as session:
            yield from file_problems(session)
    except DatabaseError as error:
        raise NotADatabaseError(database) from error


def _on_the_rows(database: Path, look: Callable[[Session], Iterator[Problem]]) -> Iterator[Problem]:
    try:
        with reading_beside(database) as session:
            yield from look(session)
    except DatabaseError as error:
        yield Problem("unreadable", f"A part of it cannot be read: {error.orig}.", "the database")
