import os
from pathlib import Path

import pytest

from app.store.db import files
from app.store.db.files import bundled, put_in_place


@pytest.mark.parametrize("name", ["templates", "static", "migrations", "seed_data"])
def test_what_travels_with_the_program_is_found(name: str) -> None:
    assert bundled(name).is_dir()
    assert any(bundled(name).iterdir())


def test_an_installed_program_has_it_under_its_own_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files, "_APP", tmp_path / "app")
    assert bundled("static") == tmp_path / "static"
    (tmp_path / "app" / "_bundled").mkdir(parents=True)

    assert bundled("static") == tmp_path / "app" / "_bundled" / "static"


def test_a_finished_file_takes_the_place_of_an_older_one(tmp_path: Path) -> None:
    (tmp_path / "name").write_text("old")
    (tmp_path / "name.part").write_text("new")

    put_in_place(tmp_path / "name.part", tmp_path / "name")

    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {"name": "new"}


def test_where_the_disk_refuses_the_older_one_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: int) -> None:
        raise OSError

    (tmp_path / "name").write_text("old")
    (tmp_path / "name.part").write_text("new")
    monkeypatch.setattr(os, "fsync", refuse)

    with pytest.raises(OSError):  # noqa: PT011 - the disk's own
        put_in_place(tmp_path / "name.part", tmp_path / "name")

    assert (tmp_path / "name").read_text() == "old"
