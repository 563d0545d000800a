"""The database as SQLite sees it: the file, its rows' references, its guards, its cells of JSON."""

import sqlite3
from collections.abc import Iterator

from sqlalchemy import JSON, func, select, text
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import Session

from app.core.problem import Problem
from app.store.db.models import Base

GUARDS = {
    "journal_no_update": "the journal is without its guard against changes",
    "journal_no_delete": "the journal is without its guard against deletion",
    "tag_stays_void": "the tags are without the guard that keeps a void one void",
    "tag_no_delete": "the tags are without their guard against deletion",
}
"""The triggers of the database, and what is said where one is gone."""

_MOST_FAULTS = 100
_NO_DATABASE = "SQLITE_NOTADB"


def file_problems(session: Session) -> Iterator[Problem]:
    """Yield what SQLite's own integrity check finds, at most a hundred faults.

    Raises:
        sqlalchemy.exc.DatabaseError: The file is no database at all, or cannot be opened.
    """
    try:
        rows = session.execute(text(f"PRAGMA integrity_check({_MOST_FAULTS})")).scalars().all()
    except DatabaseError as error:
        if isinstance(error.orig, sqlite3.OperationalError) or _names(error) == _NO_DATABASE:
            raise
        rows = [str(error.orig)]
    for said in rows:
        if said != "ok":
            yield Problem("damaged", f"SQLite finds damage: {said}.", "the database")


def _names(error: DatabaseError) -> str:
    return str(getattr(error.orig, "sqlite_errorname", ""))


def guard_problems(session: Session) -> Iterator[Problem]:
    """Yield the guards that the database has lost."""
    there = set(session.scalars(text("SELECT name FROM sqlite_master WHERE type = 'trigger'")))
    for trigger, words in GUARDS.items():
        if trigger not in there:
            yield Problem("guard-missing", f"{words[:1].upper()}{words[1:]}.", f"trigger {trigger}")


def foreign_key_problems(session: Session) -> Iterator[Problem]:
    """Yield the rows that name a row of another table which is not there."""
    for table, row_id, parent, key in session.execute(text("PRAGMA foreign_key_check")).all():
        columns = session.execute(
            text('SELECT "from" FROM pragma_foreign_key_list(:table) WHERE id = :key'),
            {"table": table, "key": key},
        ).scalars()
        column = ", ".join(columns)
        named = session.scalar(
            text(f'SELECT "{column}" FROM "{table}" WHERE rowid = :row'),  # noqa: S608 - SQLite's own names
            {"row": row_id},
        )
        yield Problem(
            "foreign-key",
            f"Its {column} names the {parent} {named}, which is not there.",
            f"table {table}, row {row_id}",
        )


def json_problems(session: Session) -> Iterator[Problem]:
    """Yield the cells that cannot be read as JSON."""
    for mapper in Base.registry.mappers:
        table = mapper.local_table
        key = mapper.primary_key
        for column in (column for column in table.columns if isinstance(column.type, JSON)):
            bad = select(*key).where(column.is_not(None), ~func.json_valid(column))
            for row in session.execute(bad):
                yield Problem(
                    "unreadable",
                    f"Its {column.name} cannot be read.",
                    f"table {mapper.class_.__tablename__}, row {' '.join(map(str, row))}",
                )
