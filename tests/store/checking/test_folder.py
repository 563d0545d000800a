import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.store.checking.folder import check_folder
from app.store.db.migrating import MigratingError, NewerDatabaseError, NotADatabaseError
from tests.store.checking.conftest import LATER, Kept


def test_a_folder_in_use_is_well(kept: Kept) -> None:
    assert kept.said() == []


def test_damage_of_several_sorts_is_said_in_one_go(kept: Kept) -> None:
    kept.picture.unlink()
    kept.harm(
        "UPDATE item SET step_id = 'gone' WHERE number = 1",
        "UPDATE item_state SET state = json_set(state, '$.round', 7)",
        "UPDATE tag SET subject = 'item:gone'",
    )

    assert kept.codes().keys() >= {"photo-missing", "foreign-key", "state-differs", "points-nowhere"}


def test_nothing_in_the_folder_is_changed_by_looking(kept: Kept) -> None:
    def everything() -> dict[str, bytes]:
        return {p.name: p.read_bytes() for p in kept.path.rglob("*") if p.is_file() and "-shm" not in p.name}

    kept.harm("UPDATE item_state SET state = json_set(state, '$.round', 7)")
    before = everything()

    assert kept.said()
    assert everything() == before


def test_after_damage_to_the_file_its_rows_are_not_judged(kept: Kept, tmp_path: Path) -> None:
    folder = tmp_path / "copy"
    folder.mkdir()
    kept.garage.database.close()
    shutil.copy(kept.path / "putback.db", folder)
    bytes_ = bytearray((folder / "putback.db").read_bytes())
    bytes_[4096 * 3 : 4096 * 9] = b"\x55" * 4096 * 6
    (folder / "putback.db").write_bytes(bytes_)

    found = list(check_folder(folder, now=LATER))

    assert {problem.code for problem in found} == {"damaged", "not-looked-at"}
    assert found[-1].code == "not-looked-at"


def test_after_an_unreadable_cell_the_lines_are_left_and_the_pictures_looked_at(kept: Kept) -> None:
    kept.picture.unlink()
    kept.harm("UPDATE journal SET body = '{' WHERE seq = 1")

    assert kept.codes() == {"unreadable": 1, "not-looked-at": 1, "photo-missing": 1}


def test_a_newer_database_is_not_looked_at(kept: Kept) -> None:
    kept.harm("UPDATE alembic_version SET version_num = '9999'")

    with pytest.raises(NewerDatabaseError):
        kept.said()


def test_an_older_database_is_not_looked_at(kept: Kept) -> None:
    kept.harm("UPDATE alembic_version SET version_num = '0001'")

    with pytest.raises(MigratingError, match="start this one once"):
        kept.said()


def test_a_file_that_is_no_database_is_refused(tmp_path: Path) -> None:
    (tmp_path / "putback.db").write_bytes(b"a letter, and a long one at that" * 400)

    with pytest.raises(NotADatabaseError):
        list(check_folder(tmp_path, now=LATER))


def test_another_programs_database_is_refused(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "putback.db")) as database:
        database.execute("CREATE TABLE song (name)")

    with pytest.raises(NotADatabaseError):
        list(check_folder(tmp_path, now=LATER))
