"""The address that a folder was last reached at, read before anything in it is touched."""

import sqlite3
from contextlib import closing
from pathlib import Path

from app.store.db.database import read_only
from app.store.folder import DATABASE_FILE


def last_port(folder: Path) -> int | None:
    """Return the port a data folder was last served at; None for a new or an unreadable one."""
    try:
        with closing(read_only(folder / DATABASE_FILE)) as database:
            row = database.execute("SELECT port FROM folder").fetchone()
    except sqlite3.Error:
        return None
    return int(row[0]) if row else None
