"""Bring a database up to the tables of this program, with a backup first and checks after."""

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, func, select, table
from sqlalchemy.exc import DBAPIError

from app.store.db.database import DamagedDatabaseError, copy_database, migration_engine, read_only
from app.store.db.files import bundled

_INSERT_ONLY_TABLE = "journal"
_INSERT_ONLY_TRIGGERS = ("journal_no_update", "journal_no_delete")


class MigratingError(Exception):
    """The database cannot be opened by this program; the message is one sentence for the person."""


class NewerDatabaseError(MigratingError):
    """The database's revision is unknown to this program."""

    def __init__(self, path: Path, revision: str) -> None:
        super().__init__(
            f"{path} was written by a newer Putback (its tables are at {revision}) and was not touched: "
            "start the newer program, or restore a backup made with this one."
        )


class NotADatabaseError(MigratingError):
    """The file is no SQLite database, or not one of this program."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is not a Putback database and was not touched: "
            "choose another folder, move that file away or restore a backup."
        )


class MigrationFailedError(MigratingError):
    """The tables could not be brought up to date, so they are as they were."""

    def __init__(self, path: Path, reason: object) -> None:
        super().__init__(f"{path} could not be brought up to date and is as it was: {reason}")


class _LossError(Exception):
    """What was kept before would not be kept after; the message completes a sentence."""


@dataclass(frozen=True, slots=True)
class _Shape:
    """What a migration must not lose: rows per table, and triggers with their table."""

    rows: Mapping[str, int]
    triggers: Mapping[str, str]


def bring_up_to_date(path: Path, *, now: datetime) -> None:
    """Make the database where there is none, or migrate an older one after a backup of it.

    The caller holds the folder's lock. The backup is `backups/putback-<UTC time>-<revision>.db` beside the
    database.

    Args:
        path: The database.
        now: The present moment, with its time zone.

    Raises:
        NewerDatabaseError: A newer program wrote it; it is untouched.
        NotADatabaseError: It is something else; it is untouched.
        MigratingError: It cannot be read; it is untouched.
        MigrationFailedError: It could not be backed up or migrated, and is as it was.
    """
    config = _config()
    scripts = ScriptDirectory.from_config(config)
    revision = _revision(path)
    if revision == scripts.get_current_head():
        return
    if revision is not None:
        if revision not in {script.revision for script in scripts.walk_revisions()}:
            raise NewerDatabaseError(path, revision)
        _back_up(path, revision, now)
    _migrate(path, config)


def refuse_other_tables(path: Path) -> None:
    """Refuse a database whose tables are not those of this program; nothing is touched.

    Raises:
        MigratingError: A newer or an older program wrote it, there is none yet, or it is something else.
    """
    scripts = ScriptDirectory.from_config(_config())
    revision = _revision(path)
    if revision is None:
        raise MigratingError(f"{path.parent} holds no build yet.")
    if revision == scripts.get_current_head():
        return
    if revision not in {script.revision for script in scripts.walk_revisions()}:
        raise NewerDatabaseError(path, revision)
    raise MigratingError(
        f"{path} was written by an older Putback: start this one once, which brings it up to date."
    )


def _config() -> Config:
    config = Config()
    folder = str(bundled("migrations")).replace("%", "%%")
    config.set_main_option("script_location", folder)
    config.set_main_option("path_separator", "os")
    return config


def _revision(path: Path) -> str | None:
    """Return the revision that the tables are at; none where nothing has been made yet."""
    if not path.exists() or (path.is_file() and path.stat().st_size == 0):
        return None
    try:
        with closing(read_only(path)) as database:
            tables = database.execute("SELECT name FROM sqlite_master").fetchall()
            if not tables:
                return None
            if ("alembic_version",) not in tables:
                raise NotADatabaseError(path)
            row = database.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.OperationalError as error:
        raise MigratingError(f"{path} cannot be read: {error}") from error
    except sqlite3.DatabaseError as error:
        raise NotADatabaseError(path) from error
    if row is None:
        raise NotADatabaseError(path)
    return str(row[0])


def _back_up(path: Path, revision: str, now: datetime) -> None:
    moment = now.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    try:
        copy_database(path, path.parent / "backups" / f"putback-{moment}-{revision}.db")
    except (OSError, sqlite3.Error, DamagedDatabaseError) as error:
        raise MigrationFailedError(path, f"no backup could be made first ({error})") from error


def _migrate(path: Path, config: Config) -> None:
    engine = migration_engine(path)
    try:
        with engine.begin() as connection:
            before = _shape(connection)
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
            _check(connection, before, _shape(connection))
    except Exception as error:
        raise MigrationFailedError(path, error.orig if isinstance(error, DBAPIError) else error) from error
    finally:
        engine.dispose()


def _shape(connection: Connection) -> _Shape:
    tables = connection.exec_driver_sql(
        # Not the tables that a search index keeps for itself: it is rebuilt, never migrated.
        "SELECT name FROM pragma_table_list"
        " WHERE schema = 'main' AND type = 'table' AND name NOT GLOB 'sqlite_*'"
    )
    triggers = connection.exec_driver_sql("SELECT name, tbl_name FROM sqlite_master WHERE type = 'trigger'")
    return _Shape(
        rows={name: _rows(connection, name) for name in tables.scalars().all()},
        triggers={name: owner for name, owner in triggers},  # noqa: C416 - dict() of rows has no known types
    )


def _rows(connection: Connection, name: str) -> int:
    return connection.execute(select(func.count()).select_from(table(name))).scalar_one()


def _check(connection: Connection, before: _Shape, after: _Shape) -> None:
    for name in before.rows.keys() & after.rows.keys():
        if after.rows[name] < before.rows[name]:
            raise _LossError(f"table {name} would shrink from {before.rows[name]} to {after.rows[name]} rows")
    for trigger, name in before.triggers.items():
        # Rebuilding a table drops its triggers without a word.
        if name in after.rows and trigger not in after.triggers:
            raise _LossError(f"table {name} would lose its trigger {trigger}")
    for trigger in _INSERT_ONLY_TRIGGERS:
        if after.triggers.get(trigger) != _INSERT_ONLY_TABLE:
            raise _LossError(f"the {_INSERT_ONLY_TABLE} would be without its trigger {trigger}")
    dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    if dangling is not None:
        raise _LossError(f"a row of table {dangling[0]} would name a row of {dangling[2]} that is not there")
