"""`putback check` on real folders: what it says, its exit status, and that it changes nothing."""

import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from app.__main__ import main
from app.store.checking import folder as checking
from app.store.folder import DATABASE_FILE
from app.web.cli.options import CheckOptions, OptionError, read_command
from tests.patience import seconds
from tests.running import ROOT, free_port, quiet_environment, running
from tests.web.conftest import Made


@pytest.fixture
def data(full: Made, tmp_path: Path) -> Path:
    return Path(shutil.copytree(full.path, tmp_path / "data"))


def harm(data: Path, statement: str) -> None:
    with closing(sqlite3.connect(data / DATABASE_FILE)) as database:
        assert database.execute(statement).rowcount
        database.commit()


def test_the_invented_build_is_well(data: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert main(["check", "--data", str(data)]) == 0
    assert capfdbinary.readouterr().out.decode() == f"All is well in {data}.\n"


def test_each_fault_is_a_sentence_with_its_place_and_the_last_counts_them(
    data: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    picture = next((data / "photos").rglob("*.jpg"))
    picture.unlink()
    harm(data, "UPDATE item SET step_id = 'gone' WHERE number = 1")

    assert main(["check", "--data", str(data)]) == 1

    *faults, last = capfdbinary.readouterr().out.decode().splitlines()
    assert last == f"{len(faults)} things are wrong in {data}. Nothing was changed."
    assert any(fault.startswith("Table item, row ") and "the step gone" in fault for fault in faults)
    assert any(fault.startswith("Photo ") and picture.name in fault for fault in faults)
    assert all(fault.endswith(".") and fault[0].isupper() for fault in faults)


def test_one_fault_is_one_thing(data: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    harm(data, "UPDATE item_state SET state = json_set(state, '$.round', 9) WHERE rowid = 1")

    assert main(["check", "--data", str(data)]) == 1
    assert (
        capfdbinary.readouterr()
        .out.decode()
        .endswith(f"One thing is wrong in {data}. Nothing was changed.\n")
    )


def test_a_folder_that_is_not_there_or_holds_no_database_cannot_be_checked(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "--data", str(tmp_path / "none")]) == 2
    assert capfd.readouterr().err.startswith(f"There is no folder {tmp_path / 'none'}")
    assert not (tmp_path / "none").exists()
    assert main(["check", "--data", str(tmp_path)]) == 2
    assert "holds no putback.db" in capfd.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_newer_folder_cannot_be_checked(data: Path, capfd: pytest.CaptureFixture[str]) -> None:
    harm(data, "UPDATE alembic_version SET version_num = '9999'")

    assert main(["check", "--data", str(data)]) == 2
    assert "was written by a newer Putback" in capfd.readouterr().err


def test_a_check_that_is_stopped_does_not_say_that_all_is_well(
    data: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(checking, "photo_problems", stop)

    assert main(["check", "--data", str(data)]) == 2
    assert "stopped before everything was looked at" in capfd.readouterr().err


def test_it_works_beside_a_running_server(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    with running("--data", str(folder), "--port", str(free_port())):
        told = subprocess.run(
            [sys.executable, "-m", "app", "check", "--data", str(folder)],
            cwd=ROOT,
            env=quiet_environment(),
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=seconds(30),
            check=False,
        )

        assert (told.returncode, told.stdout, told.stderr) == (0, f"All is well in {folder}.\n", "")


@pytest.mark.parametrize("more", [["list.csv"], ["--build", "1"], ["--json"], ["--layout", "transverse"]])
def test_what_goes_with_lists_is_refused(more: list[str]) -> None:
    with pytest.raises(OptionError, match="go with import, export and order"):
        read_command(["check", *more])


def test_the_folder_is_the_one_that_is_named() -> None:
    assert read_command(["check", "--data", "/d"]) == CheckOptions(Path("/d").absolute())
