from datetime import UTC, datetime
from pathlib import Path

from app.store.address import last_port
from app.store.folder import DATABASE_FILE, open_folder

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)


def test_the_port_is_the_one_that_was_used_last(tmp_path: Path) -> None:
    folder = open_folder(tmp_path, now=NOW)
    folder.remember_address("garage", 9123)
    assert last_port(tmp_path) == 9123
    folder.close()

    assert last_port(tmp_path) == 9123


def test_a_new_folder_has_none_and_is_not_made_by_asking(tmp_path: Path) -> None:
    assert last_port(tmp_path / "new") is None
    assert not (tmp_path / "new").exists()


def test_what_is_no_database_has_none(tmp_path: Path) -> None:
    (tmp_path / DATABASE_FILE).write_bytes(b"a letter, and a long one at that" * 200)

    assert last_port(tmp_path) is None
