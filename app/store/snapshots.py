"""Builds as last read, kept for all readers: each new line is taken in once, by whoever asks first."""

from threading import Lock

from sqlalchemy.orm import Session

from app.core.builds.snapshot import Snapshot
from app.store.db.database import has_written
from app.store.journal import last_seq
from app.store.loading import load, update

KEPT = 4
"""How many moments of a build are kept: as far as a reader may fall behind and still find its own."""


class Snapshots:
    """Keeps the newest moments of each build.

    A reader gets the build at exactly the line that is the newest in its own transaction, never a newer one:
    what a page reads beside the build is of the same moment. Whoever asks first for a moment works it out
    from the newest one before it, while others who ask for this build wait. Moments share all that no line
    changed between them.
    """

    def __init__(self) -> None:
        self._kept: dict[int, tuple[Snapshot, ...]] = {}
        self._turns: dict[int, Lock] = {}

    def of(self, session: Session, build_nr: int) -> Snapshot | None:
        """Return the build as it stands in this transaction; `None` where there is no such build.

        What a unit of work sees of its own is not kept: it may yet be taken back, and its number given again.
        """
        seq = last_seq(session)
        if has_written(session):
            return self._read(session, build_nr, seq)
        found = self._found(build_nr, seq)
        if found is None:
            with self._turns.setdefault(build_nr, Lock()):
                found = self._found(build_nr, seq) or self._read(session, build_nr, seq)
                if found is not None:
                    self._keep(found)
        return found

    def _found(self, build_nr: int, seq: int) -> Snapshot | None:
        return next((kept for kept in self._kept.get(build_nr, ()) if kept.seq == seq), None)

    def _read(self, session: Session, build_nr: int, seq: int) -> Snapshot | None:
        earlier = (kept for kept in self._kept.get(build_nr, ()) if kept.seq <= seq)
        newest = max(earlier, key=lambda kept: kept.seq, default=None)
        return load(session, build_nr, seq) if newest is None else update(session, newest, seq)

    def _keep(self, found: Snapshot) -> None:
        kept = sorted((*self._kept.get(found.nr, ()), found), key=lambda each: -each.seq)
        self._kept[found.nr] = tuple(kept[:KEPT])
