import hashlib
import os
import stat
from pathlib import Path

import pytest

from app.store.intake.photos import keep_picture, picture_path

BYTES = b"a picture" * 1000
SHA = hashlib.sha256(BYTES).hexdigest()


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_a_picture_lies_under_the_digest_of_its_bytes(tmp_path: Path) -> None:
    assert keep_picture(tmp_path, BYTES) == SHA
    assert files(tmp_path) == [picture_path(tmp_path, SHA)]
    assert picture_path(tmp_path, SHA).name == f"{SHA}.jpg"
    assert hashlib.sha256(picture_path(tmp_path, SHA).read_bytes()).hexdigest() == SHA


def test_the_same_picture_is_kept_once(tmp_path: Path) -> None:
    keep_picture(tmp_path, BYTES)
    written = picture_path(tmp_path, SHA).stat().st_mtime_ns

    assert keep_picture(tmp_path, BYTES) == SHA
    assert (len(files(tmp_path)), picture_path(tmp_path, SHA).stat().st_mtime_ns) == (1, written)


def test_nothing_half_written_stays_where_the_disk_refuses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        if stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(os, "fsync", full)
        with pytest.raises(OSError, match="No space left"):
            keep_picture(tmp_path, BYTES)
    assert files(tmp_path) == []

    assert keep_picture(tmp_path, BYTES) == SHA
    assert picture_path(tmp_path, SHA).read_bytes() == BYTES


def test_the_bytes_the_name_and_the_new_folders_name_are_on_the_disk_when_it_returns(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[tuple[int, int]] = []
    monkeypatch.setattr(
        os, "fsync", lambda handle: synced.append((os.fstat(handle).st_dev, os.fstat(handle).st_ino))
    )
    keep_picture(tmp_path, BYTES)

    path = picture_path(tmp_path, SHA)
    must = [path] if os.name != "posix" else [path, path.parent, tmp_path]
    assert {(each.stat().st_dev, each.stat().st_ino) for each in must} <= set(synced)


@pytest.mark.parametrize("name", ["", "x", "../../etc/passwd", SHA.upper(), f"{SHA}\n", SHA[:-1]])
def test_only_a_digest_is_a_pictures_name(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a picture"):
        picture_path(tmp_path, name)
