"""The data folder: one process owns it; it has an identity that its pages and its phones carry."""

import secrets
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import select

from app.store.db.clock import new_id, stamp
from app.store.db.database import Database
from app.store.db.files import put_in_place
from app.store.db.lock import FolderLock
from app.store.db.migrating import bring_up_to_date
from app.store.db.models import FolderRow, PrintedAddress
from app.store.journal import refold_outdated

DEFAULT_NAME = "garage"
DEFAULT_PORT = 8765
DATABASE_FILE = "putback.db"
SECRET_BYTES = 32


@dataclass(frozen=True, slots=True)
class Folder:
    """An open data folder.

    Args:
        path: The folder itself.
        database: Its database.
        lock: Held until `close`.
        id: 32 hexadecimal digits; a copy of the folder keeps it.
        epoch: Counts restores.
        name: The announced host name, without `.local`.
        port: The port it was last reached at.
        secret: Signs the session cookies.
        demo: Whether this is an invented build in a temporary folder.
    """

    path: Path
    database: Database
    lock: FolderLock
    id: str
    epoch: int
    name: str
    port: int
    secret: bytes
    demo: bool

    @property
    def photos(self) -> Path:
        """Where the picture files are."""
        return self.path / "photos"

    def printed(self) -> tuple[tuple[str, int], ...]:
        """Return every (name, port) that stands on a printed tag."""
        with self.database.reading() as session:
            return tuple((row.name, row.port) for row in session.scalars(select(PrintedAddress)))

    @property
    def printed_ports(self) -> tuple[int, ...]:
        """Every port that stands on a printed tag, lowest first."""
        return tuple(sorted({port for _, port in self.printed()}))

    @property
    def printed_names(self) -> tuple[str, ...]:
        """Every name that stands on a printed tag, in the order of the alphabet."""
        return tuple(sorted({name for name, _ in self.printed()}))

    def remember_address(self, name: str, port: int) -> None:
        """Keep the address now in use, for the next start."""
        with self.database.unit_of_work() as session:
            row = session.scalars(select(FolderRow)).one()
            row.name, row.port = name, port

    def close(self) -> None:
        """Close the database and let the folder go."""
        self.database.close()
        self.lock.release()


def open_folder(path: Path, *, now: datetime, demo: bool = False) -> Folder:
    """Take a folder's lock, bring its database up to date and read who it is.

    Raises:
        FolderBusyError: Another Putback owns it.
        FolderUnusableError: It cannot be made or written.
        MigratingError: A newer Putback wrote it, it is no database, or it could not be brought up to date;
            nothing is touched.
    """
    lock = FolderLock.take(path)
    try:
        bring_up_to_date(path / DATABASE_FILE, now=now)
        database = Database(path / DATABASE_FILE)
    except BaseException:
        lock.release()
        raise
    try:
        (path / "photos").mkdir(exist_ok=True)
        row = _identity(database, now, demo=demo)
        with database.unit_of_work() as session:
            refold_outdated(session)
        secret = _secret(path / "secret")
    except BaseException:
        database.close()
        lock.release()
        raise
    return Folder(path, database, lock, row.id, row.epoch, row.name, row.port, secret, row.demo)


def _identity(database: Database, now: datetime, *, demo: bool) -> FolderRow:
    with database.unit_of_work() as session:
        row = session.scalars(select(FolderRow)).one_or_none()
        if row is None:
            row = FolderRow(
                id=new_id(), epoch=1, name=DEFAULT_NAME, port=DEFAULT_PORT, demo=demo, made_at=stamp(now)
            )
            session.add(row)
        session.flush()
        session.expunge(row)
        return row


def _secret(path: Path) -> bytes:
    """Return the key that signs cookies, made on the first start, readable by its owner alone."""
    if not path.exists() or path.stat().st_size < SECRET_BYTES:
        written = path.with_name(f"{path.name}.unfinished")
        written.touch(mode=0o600)
        written.write_bytes(secrets.token_bytes(SECRET_BYTES))
        put_in_place(written, path)
    return path.read_bytes()
