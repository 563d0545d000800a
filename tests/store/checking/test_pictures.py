import os
import tracemalloc
from pathlib import Path

import pytest

from app.store.checking import pictures
from app.store.checking.pictures import photo_problems
from app.store.db.database import reading_beside
from app.store.intake.entries import StoredPicture
from app.store.intake.photos import keep_picture, picture_path
from tests.store.checking.conftest import LATER, Kept


def left_over(kept: Kept, *, at: float = 1.0) -> str:
    sha = keep_picture(kept.path / "photos", b"nobody's")
    os.utime(picture_path(kept.path / "photos", sha), (at, at))
    return sha


def test_a_missing_picture_is_said_with_its_photo_and_build(kept: Kept) -> None:
    kept.picture.unlink()

    assert kept.said() == [
        ("photo-missing", f"photo {kept.photo} of build 1", f"The picture file {kept.sha}.jpg is not there.")
    ]


def test_one_changed_byte_is_found(kept: Kept) -> None:
    bytes_ = bytearray(kept.picture.read_bytes())
    bytes_[3] ^= 1
    kept.picture.write_bytes(bytes_)

    assert [said[:2] for said in kept.said()] == [("photo-changed", f"photo {kept.photo} of build 1")]


def test_a_picture_that_cannot_be_read_is_told_from_one_that_was_changed(kept: Kept) -> None:
    kept.picture.unlink()
    kept.picture.mkdir()

    assert kept.codes() == {"photo-unreadable": 1}


def test_a_picture_without_a_row_is_found(kept: Kept) -> None:
    sha = left_over(kept)

    ((code, _, message),) = kept.said()
    assert code == "photo-without-row"
    assert sha in message


def test_a_picture_that_is_just_being_written_is_not_called_left_over(kept: Kept) -> None:
    left_over(kept, at=LATER - pictures.BEING_WRITTEN_S + 5)

    assert kept.said() == []


def test_a_picture_whose_row_comes_while_it_is_looked_at_is_not_called_left_over(
    kept: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    sha = left_over(kept)
    digest = pictures._digest  # noqa: SLF001 - the moment between the rows and the files

    def row_comes(path: Path) -> str:
        if path.stem == sha:
            kept.garage.receive(kept.garage.capture(), picture=StoredPicture(sha, 4, 3))
        return digest(path)

    monkeypatch.setattr(pictures, "_digest", row_comes)

    assert kept.said() == []


def test_the_picture_of_an_entry_that_was_put_aside_is_known(kept: Kept) -> None:
    sha = left_over(kept)
    kept.harm(
        "INSERT INTO quarantine SELECT 'q', id, json_object('picture', json_object('sha256', :sha)),"
        " 'shut out', '', NULL FROM device",
        sha=sha,
    )

    assert kept.said() == []
    picture_path(kept.path / "photos", sha).unlink()
    assert [said[:2] for said in kept.said()] == [("photo-missing", "an entry that was put aside")]


def test_the_rest_of_an_interrupted_write_is_found(kept: Kept) -> None:
    rest = kept.picture.with_name(f"{kept.sha}.1.part")
    rest.write_bytes(b"hal")
    os.utime(rest, (1, 1))
    (kept.path / "photos" / "holiday.png").write_bytes(b"")

    assert kept.codes() == {"photo-unfinished": 2}


def test_a_row_whose_digest_is_none_is_found(kept: Kept) -> None:
    kept.harm("UPDATE photo SET sha256 = 'x'")

    assert kept.codes() == {"photo-misnamed": 1, "photo-without-row": 1}


def test_a_large_picture_is_not_held_in_memory(kept: Kept) -> None:
    with kept.picture.open("wb") as file:
        file.truncate(64 << 20)
    tracemalloc.start()
    try:
        found = list(
            photo_problems(lambda: reading_beside(kept.path / "putback.db"), kept.path / "photos", now=LATER)
        )
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()

    assert [problem.code for problem in found] == ["photo-changed"]
    assert peak < 8 << 20
