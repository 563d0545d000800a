import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from app.store.db.lock import LOCK_NAME, NOTE_NAME, FolderBusyError, FolderLock, FolderUnusableError

HOLDER = """
import sys, time
from pathlib import Path
from app.store.db.lock import FolderLock
FolderLock.take(Path(sys.argv[1])).leave_note("http://garage.local:8765/")
print("held", flush=True)
time.sleep(60)
"""


@contextmanager
def another_process_holding(folder: Path) -> Iterator[subprocess.Popen[str]]:
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(folder)], stdout=subprocess.PIPE, text=True
    ) as holder:
        try:
            assert holder.stdout is not None
            assert holder.stdout.readline() == "held\n"
            yield holder
        finally:
            holder.kill()


def test_taking_makes_the_folder(tmp_path: Path) -> None:
    with FolderLock.take(tmp_path / "garage" / "van"):
        assert (tmp_path / "garage" / "van" / LOCK_NAME).is_file()


def test_a_second_process_is_refused_and_told_who_holds_the_folder(tmp_path: Path) -> None:
    with another_process_holding(tmp_path) as holder, pytest.raises(FolderBusyError) as refusal:
        FolderLock.take(tmp_path)

    assert refusal.value.folder == tmp_path
    assert refusal.value.note == f"process {holder.pid}, http://garage.local:8765/"
    assert refusal.value.note in str(refusal.value)
    assert str(tmp_path) in str(refusal.value)


def test_the_lock_dies_with_its_process(tmp_path: Path) -> None:
    with another_process_holding(tmp_path) as holder:
        os.kill(holder.pid, signal.SIGKILL)
        holder.wait()

        with FolderLock.take(tmp_path):
            assert (tmp_path / NOTE_NAME).read_text() == f"process {os.getpid()}"


def test_a_second_taking_in_the_same_process_is_refused(tmp_path: Path) -> None:
    with FolderLock.take(tmp_path), pytest.raises(FolderBusyError):
        FolderLock.take(tmp_path)


def test_a_released_folder_can_be_taken_again(tmp_path: Path) -> None:
    first = FolderLock.take(tmp_path)
    first.release()

    with FolderLock.take(tmp_path):
        first.release()  # a second release lets nobody else in
        with pytest.raises(FolderBusyError):
            FolderLock.take(tmp_path)


def test_release_takes_the_note_away(tmp_path: Path) -> None:
    FolderLock.take(tmp_path).release()

    assert not (tmp_path / NOTE_NAME).exists()


def test_a_note_of_a_dead_process_keeps_nobody_out(tmp_path: Path) -> None:
    (tmp_path / LOCK_NAME).touch()
    (tmp_path / NOTE_NAME).write_text("process 1, http://garage.local:8765/")

    with FolderLock.take(tmp_path):
        assert (tmp_path / NOTE_NAME).read_text() == f"process {os.getpid()}"


@pytest.mark.parametrize(
    ("note", "told"),
    [(b"", ""), (b"\xff\xfe\x00 7\n8", "\ufffd\ufffd  7 8"), (b"x" * 10_000, "x" * 200), (None, "")],
)
def test_a_note_that_cannot_be_read_does_not_spoil_the_refusal(
    tmp_path: Path, note: bytes | None, told: str
) -> None:
    with FolderLock.take(tmp_path):
        (tmp_path / NOTE_NAME).unlink()
        if note is not None:
            (tmp_path / NOTE_NAME).write_bytes(note)

        with pytest.raises(FolderBusyError) as refusal:
            FolderLock.take(tmp_path)

    assert refusal.value.note == told


def test_a_note_that_cannot_be_written_does_not_spoil_the_lock(tmp_path: Path) -> None:
    (tmp_path / NOTE_NAME).mkdir()

    with FolderLock.take(tmp_path), pytest.raises(FolderBusyError):
        FolderLock.take(tmp_path)


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "garage").write_text("a file of that name")

    with pytest.raises(FolderUnusableError, match=str(tmp_path / "garage")):
        FolderLock.take(tmp_path / "garage")


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (
        tmp_path / LOCK_NAME
    ).mkdir()  # stands for any refusal of the disk: permissions do not stop an administrator

    with pytest.raises(FolderUnusableError, match=str(tmp_path)):
        FolderLock.take(tmp_path)
