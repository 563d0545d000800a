"""The open database: many readers, one writer, one place that commits."""

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, Transaction, create_engine, event
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.orm import Session
from sqlalchemy.pool import ConnectionPoolEntry, NullPool

from app.store.db.files import put_in_place

BUSY_TIMEOUT_MS = 5000
"""How long a statement waits for a lock that another process holds, [ms]."""

_READERS_KEPT = 16
_CHANGES = "changes"
_EVERY_CONNECTION = {
    "journal_mode": "WAL",
    "synchronous": "FULL",
    "busy_timeout": str(BUSY_TIMEOUT_MS),
    # `INSERT OR REPLACE` deletes without firing delete triggers unless this is on.
    "recursive_triggers": "ON",
    "trusted_schema": "OFF",
}
# Two connections that write back the log at one instant can damage the file in SQLite before 3.51.3
# (https://www.sqlite.org/wal.html#walresetbug), so readers never do it.
_READING = {"foreign_keys": "ON", "wal_autocheckpoint": "0", "query_only": "ON"}
_WRITING = {"foreign_keys": "ON"}
# Rebuilding a table drops the old one, and with foreign keys on its children's rows would go with it.
_MIGRATING = {"foreign_keys": "OFF"}


class DamagedDatabaseError(Exception):
    """A database does not pass SQLite's own integrity check."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is damaged: restore a backup beside it, and keep this file for a repair.")
        self.path = path


class Database:
    """The database of a data folder, for the threads of the one process that holds the folder's lock.

    Args:
        path: A database that `bring_up_to_date` has been over.
    """

    def __init__(self, path: Path) -> None:
        self._writer = threading.Lock()
        self._writing_thread: int | None = None
        # One connection that stays open: what recovers, writes and writes back the log is always it.
        self._writing = create_engine(_url(path), pool_size=1, max_overflow=0, pool_timeout=0)
        _prepare(self._writing, begin="BEGIN IMMEDIATE", pragmas=_WRITING)
        self._writing.connect().close()
        self._reading = create_engine(_url(path), pool_size=_READERS_KEPT, max_overflow=-1)
        _prepare(self._reading, begin="BEGIN", pragmas=_READING)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Give a session that sees one moment of the database and cannot change it.

        Raises:
            sqlalchemy.exc.OperationalError: Something was added or changed in it.
        """
        with self._reading.connect() as connection, Session(connection) as session:
            yield session
            session.flush()

    @contextmanager
    def unit_of_work(self) -> Iterator[Session]:
        """Give a session whose changes are kept together at the end, or not at all.

        Only here is anything committed: `commit` on the session itself keeps nothing. When this returns, the
        changes are on the disk. Other threads wait their turn, so nothing slow belongs inside.

        Raises:
            RuntimeError: This thread is inside a unit of work already.
        """
        with self._turn(), self._writing.connect() as connection:
            transaction = connection.begin()
            with Session(connection, info={_CHANGES: _changes(connection)}) as session:
                yield session
                session.flush()
                _commit(connection, transaction)

    def close(self) -> None:
        """Close every connection, the writer's last."""
        self._reading.dispose()
        self._writing.dispose()

    @contextmanager
    def _turn(self) -> Iterator[None]:
        if self._writing_thread == threading.get_ident():
            raise RuntimeError("a unit of work does not open inside another one")
        with self._writer:
            self._writing_thread = threading.get_ident()
            try:
                yield
            finally:
                self._writing_thread = None


def has_written(session: Session) -> bool:
    """Tell whether a unit of work has changed a row, so that it sees what nobody else does."""
    session.flush()
    return _CHANGES in session.info and session.info[_CHANGES] != _changes(session.connection())


def _changes(connection: Connection) -> int:
    """Return how many rows a connection has changed since it was opened."""
    return int(connection.connection.driver_connection.total_changes)  # type: ignore[union-attr] # SQLite's own


def migration_engine(path: Path) -> Engine:
    """Return an engine for changing tables: foreign keys off, every statement inside the one transaction."""
    engine = create_engine(_url(path), poolclass=NullPool)
    _prepare(engine, begin="BEGIN IMMEDIATE", pragmas=_MIGRATING)
    return engine


def read_only(path: Path) -> sqlite3.Connection:
    """Open a file without ever changing it, also where a stopped process left its log beside it.

    Raises:
        sqlite3.Error: It is missing, or unreadable.
    """
    return sqlite3.connect(path.resolve().as_uri() + "?mode=ro", uri=True)


@contextmanager
def reading_beside(path: Path) -> Iterator[Session]:
    """Give a session that sees one moment of a database which another process may own, and changes nothing.

    Raises:
        sqlalchemy.exc.DatabaseError: It is missing, or unreadable.
    """
    engine = create_engine("sqlite://", creator=lambda: read_only(path), poolclass=NullPool)
    try:
        with engine.connect() as connection, Session(connection) as session:
            connection.exec_driver_sql("BEGIN")
            yield session
    finally:
        engine.dispose()


def copy_database(source: Path, target: Path) -> None:
    """Copy a database, also one in use, to a checked file that is whole or not there.

    Args:
        source: The database.
        target: The copy; its folder is made where it is missing, a file of that name is replaced.

    Raises:
        DamagedDatabaseError: The copy does not pass the integrity check.
        OSError: The disk refuses.
        sqlite3.Error: The disk refuses, or `source` is no database.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    unfinished = target.with_name(f"{target.name}.unfinished")
    unfinished.unlink(missing_ok=True)
    try:
        with closing(read_only(source)) as there, closing(sqlite3.connect(unfinished)) as here:
            there.backup(here)
            if not _sound(here):
                raise DamagedDatabaseError(source)
        put_in_place(unfinished, target)
    finally:
        unfinished.unlink(missing_ok=True)


def _sound(database: sqlite3.Connection) -> bool:
    try:
        return database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    except sqlite3.DatabaseError:
        return False


def _url(path: Path) -> URL:
    return URL.create("sqlite", database=str(path))


def _commit(connection: Connection, transaction: Transaction) -> None:
    try:
        transaction.commit()
    except BaseException:
        # SQLite keeps a transaction open whose COMMIT it refused: only a new connection is surely without it.
        connection.invalidate()
        raise


def _prepare(engine: Engine, *, begin: str, pragmas: dict[str, str]) -> None:
    def connected(connection: DBAPIConnection, _entry: ConnectionPoolEntry) -> None:
        cursor = connection.cursor()
        for name, value in (_EVERY_CONNECTION | pragmas).items():
            cursor.execute(f"PRAGMA {name}={value}")
        cursor.close()

    def begun(connection: Connection) -> None:
        # Left to itself the driver opens one only before a change of rows: not to read, not for tables.
        connection.exec_driver_sql(begin)

    event.listen(engine, "connect", connected)
    event.listen(engine, "begin", begun)
