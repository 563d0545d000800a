"""One process owns the data folder: an operating system lock that dies with its process."""

import contextlib
import os
import sys
from pathlib import Path
from types import TracebackType
from typing import Self

if sys.platform == "win32":
    import msvcrt

    def _locked(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        return True
else:
    import fcntl

    def _locked(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


LOCK_NAME = "putback.lock"
NOTE_NAME = "putback.lock.txt"
_NOTE_LENGTH = 200


class FolderBusyError(Exception):
    """Another process holds the folder.

    Args:
        folder: The data folder.
        note: What the holder wrote about itself; empty or out of date where it could not write.
    """

    def __init__(self, folder: Path, note: str) -> None:
        holder = f" ({note})" if note else ""
        super().__init__(
            f"{folder} is in use by a Putback that runs already{holder}: use that one, or stop it first."
        )
        self.folder = folder
        self.note = note


class FolderUnusableError(Exception):
    """The folder cannot be made, written or locked."""

    def __init__(self, folder: Path, reason: OSError) -> None:
        super().__init__(f"{folder} cannot be used as the data folder: {reason.strerror or reason}.")
        self.folder = folder


class FolderLock:
    """The right to write in a data folder, held until `release` or until the process ends."""

    def __init__(self, folder: Path, handle: int) -> None:
        self._folder = folder
        self._handle: int | None = handle

    @classmethod
    def take(cls, folder: Path) -> Self:
        """Make the folder where it is missing, and become its owner.

        Raises:
            FolderBusyError: Another process, or this one, holds it already.
            FolderUnusableError: It cannot be made, written or locked.
        """
        try:
            folder.mkdir(parents=True, exist_ok=True)
            handle = os.open(folder / LOCK_NAME, os.O_RDWR | os.O_CREAT, 0o600)
        except OSError as error:
            raise FolderUnusableError(folder, error) from error
        try:
            ours = _locked(handle)
        except OSError as error:
            os.close(handle)
            raise FolderUnusableError(folder, error) from error
        if not ours:
            os.close(handle)
            raise FolderBusyError(folder, _note(folder))
        lock = cls(folder, handle)
        lock.leave_note()
        return lock

    def leave_note(self, address: str = "") -> None:
        """Leave a note for a second process: this process's number, and where its pages are.

        Args:
            address: Such as `http://garage.local:8765/`; empty while it is not yet known.
        """
        note = f"process {os.getpid()}" + (f", {address}" if address else "")
        with contextlib.suppress(OSError):  # the lock holds without it, on a full disk too
            (self._folder / NOTE_NAME).write_text(note, encoding="utf-8")

    def release(self) -> None:
        """Let the next process in; a second call does nothing."""
        if self._handle is None:
            return
        with contextlib.suppress(OSError):
            (self._folder / NOTE_NAME).unlink()
        os.close(self._handle)
        self._handle = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.release()


def _note(folder: Path) -> str:
    """Return the holder's note on one printable line; empty where there is none to read."""
    try:
        with (folder / NOTE_NAME).open(encoding="utf-8", errors="replace") as file:
            text = file.read(_NOTE_LENGTH)
    except OSError:
        return ""
    return "".join(sign if sign.isprintable() else " " for sign in text).strip()
