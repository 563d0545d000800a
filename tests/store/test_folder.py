import os
import stat
from pathlib import Path

import pytest

from app.store import folder as folders
from app.store.db.lock import FolderBusyError
from app.store.folder import open_folder
from tests.store.garage import NOON


def test_a_folder_keeps_its_identity_secret_and_address(tmp_path: Path) -> None:
    first = open_folder(tmp_path, now=NOON)
    first.remember_address("shed", 9000)
    first.close()
    again = open_folder(tmp_path, now=NOON)
    again.close()

    assert (first.id, first.secret, first.epoch) == (again.id, again.secret, 1)
    assert (first.name, first.port) == ("garage", 8765)
    assert (again.name, again.port, len(again.secret)) == ("shed", 9000, 32)


def test_two_folders_are_not_the_same(tmp_path: Path) -> None:
    one, other = (open_folder(tmp_path / name, now=NOON, demo=name == "b") for name in "ab")
    one.close()
    other.close()

    assert one.id != other.id
    assert one.secret != other.secret
    assert (one.demo, other.demo) == (False, True)
    assert one.photos.is_dir()


def test_a_folder_is_owned_once_and_free_again_after_closing(tmp_path: Path) -> None:
    first = open_folder(tmp_path, now=NOON)
    with pytest.raises(FolderBusyError):
        open_folder(tmp_path, now=NOON)
    first.close()

    open_folder(tmp_path, now=NOON).close()


def test_a_folder_that_fails_to_open_is_let_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as broken:
        broken.setattr(folders, "_secret", lambda _: (_ for _ in ()).throw(OSError("refused")))
        with pytest.raises(OSError, match="refused"):
            open_folder(tmp_path, now=NOON)

    assert not list(tmp_path.glob("*-wal"))
    open_folder(tmp_path, now=NOON).close()


def test_a_secret_cut_short_by_a_power_cut_is_made_anew(tmp_path: Path) -> None:
    (tmp_path / "secret").touch()

    opened = open_folder(tmp_path, now=NOON)
    opened.close()

    assert len(opened.secret) == 32


def test_only_the_owner_reads_the_secret(tmp_path: Path) -> None:
    open_folder(tmp_path, now=NOON).close()

    if os.name == "posix":
        assert stat.S_IMODE((tmp_path / "secret").stat().st_mode) == 0o600
    assert (tmp_path / "secret").stat().st_size == 32
