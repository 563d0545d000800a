import http.client
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from app.__main__ import main
from app.store.db.models import PrintedAddress
from app.store.folder import DATABASE_FILE, open_folder
from tests.patience import seconds
from tests.running import HERE, ROOT, command, free_port, quiet_environment, refused, running

PASSING = {".db-shm", ".db-wal"}
NOW = datetime(2026, 5, 2, 9, 0, tzinfo=UTC)


def status_of(address: str) -> int:
    parts = urlsplit(address)
    with closing(http.client.HTTPConnection(HERE, parts.port, timeout=seconds(10))) as connection:
        connection.request("GET", parts.path or "/")
        return connection.getresponse().status


def everything_in(folder: Path) -> dict[str, bytes]:
    """Return every file but the lock, which each start opens, and what SQLite puts beside a file it reads."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.startswith("putback.lock") and path.suffix not in PASSING
    }


def is_one_sentence(text: str) -> bool:
    return text.count("\n") == 1 and text.endswith(".\n") and "Traceback" not in text


def test_a_started_putback_prints_an_address_that_answers(tmp_path: Path) -> None:
    port = free_port()
    with running("--data", str(tmp_path), "--port", str(port)) as started:
        assert f"http://{HERE}:{port}/start/" in started.start_link
        assert started.folder == tmp_path
        assert status_of(started.start_link) == 200
        assert status_of(f"http://{HERE}:{port}/start/another-key") in {200, 403, 404}


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_putback_stopped_twice_over_ends_well_and_lets_the_folder_go(tmp_path: Path, number: int) -> None:
    arguments = ("--data", str(tmp_path), "--port", str(free_port()))
    with running(*arguments) as started:
        started.process.send_signal(number)
        assert started.stop(number) == 0
        assert started.process.stdout
        assert started.process.stdout.read() == "Stopped.\n"
    assert not {path.name for path in tmp_path.iterdir()} & {"putback.lock.txt", f"{DATABASE_FILE}-wal"}
    with running(*arguments) as again:
        assert status_of(again.start_link) == 200


def test_a_demo_that_is_stopped_while_it_starts_leaves_nothing_behind(tmp_path: Path) -> None:
    starting = subprocess.Popen(
        command("demo", "--port", str(free_port())),
        cwd=ROOT,
        env={**quiet_environment(), "TMPDIR": str(tmp_path)},
    )
    deadline = time.monotonic() + seconds(30)
    while not list(tmp_path.glob("putback-demo-*")) and time.monotonic() < deadline:
        time.sleep(0.01)
    starting.send_signal(signal.SIGTERM)

    assert starting.wait(timeout=seconds(20)) == 0
    assert list(tmp_path.iterdir()) == []


def test_a_stop_waits_for_no_idle_connection(tmp_path: Path) -> None:
    port = free_port()
    with (
        running("--data", str(tmp_path), "--port", str(port)) as started,
        socket.create_connection((HERE, port)) as idle,
    ):
        idle.sendall(b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\nbegun")
        asked = time.monotonic()
        assert started.stop() == 0
        assert time.monotonic() - asked < seconds(4)


def test_a_second_start_on_the_same_folder_is_refused(tmp_path: Path) -> None:
    port = str(free_port())
    with running("--data", str(tmp_path), "--port", port) as first:
        for second in (port, str(free_port())):
            status, said = refused("--data", str(tmp_path), "--port", second)

            assert status == 2
            assert is_one_sentence(said)
            assert said.startswith(f"{tmp_path} is in use by a Putback that ")
            assert f":{port}/" in said
        assert status_of(first.start_link) == 200


def test_a_taken_port_is_refused_before_the_folder_is_made(tmp_path: Path) -> None:
    with socket.create_server((HERE, 0)) as other:
        port = other.getsockname()[1]
        status, said = refused("--data", str(tmp_path / "new"), "--port", str(port))

    assert status == 2
    assert is_one_sentence(said)
    assert said.startswith(f"Port {port} is in use by another program")
    assert not (tmp_path / "new").exists()


def test_a_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    for place in (tmp_path / "file", tmp_path / "file" / "below"):
        status, said = refused("--data", str(place), "--port", str(free_port()))

        assert status == 2
        assert is_one_sentence(said)
        assert said.startswith(f"{place} cannot be used as the data folder")
    assert (tmp_path / "file").read_text() == "not a folder"


def test_a_database_of_a_newer_version_is_refused_and_not_touched(tmp_path: Path) -> None:
    open_folder(tmp_path, now=NOW).close()
    with closing(sqlite3.connect(tmp_path / DATABASE_FILE)) as database:
        database.execute("UPDATE alembic_version SET version_num = '9999'")
        database.commit()
    before = everything_in(tmp_path)

    status, said = refused("--data", str(tmp_path), "--port", str(free_port()))

    assert status == 2
    assert is_one_sentence(said)
    assert "was written by a newer Putback" in said
    assert everything_in(tmp_path) == before


def test_the_port_and_the_name_are_those_of_the_last_start(tmp_path: Path) -> None:
    port = free_port()
    with running("--data", str(tmp_path), "--port", str(port), "--name", "bench-a"):
        pass
    with running("--data", str(tmp_path)) as again:
        assert urlsplit(again.start_link).port == port
    with closing(sqlite3.connect(tmp_path / DATABASE_FILE)) as database:
        assert database.execute("SELECT name, port FROM folder").fetchall() == [("bench-a", port)]


def test_a_port_on_printed_tags_goes_on_answering(tmp_path: Path) -> None:
    old, new = free_port(), free_port()
    folder = open_folder(tmp_path, now=NOW)
    with folder.database.unit_of_work() as session:
        session.add(PrintedAddress(name="bench-old", port=old))
    folder.close()

    with running("--data", str(tmp_path), "--port", str(new), "--name", "bench-new") as started:
        assert status_of(started.start_link) == 200
        assert status_of(started.start_link.replace(f":{new}/", f":{old}/")) == 200
        assert f"Tags already printed say bench-old.local:{old}" in started.printed


@pytest.mark.parametrize(
    ("arguments", "beginning"),
    [
        (("--port", "0"), "--port 0 is not a port"),
        (("--port", "65536"), "--port 65536 is not a port"),
        (("--port", "eighty"), "--port eighty is not a port"),
        (("--name", "a-name-too-long"), "--name a-name-too-long cannot be announced"),
        (("--name", "über"), "--name über cannot be announced"),
        (("--colour",), "Unrecognized arguments: --colour"),
        (("demonstration",), "Argument what: invalid choice"),
    ],
)
def test_an_option_that_cannot_be_used_is_refused_in_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], beginning: str
) -> None:
    status = main(["--data", str(tmp_path / "new"), *arguments])
    said = capsys.readouterr().err

    assert status == 2
    assert is_one_sentence(said)
    assert said.startswith(beginning)
    assert not (tmp_path / "new").exists()


def test_an_address_of_another_machine_is_refused(tmp_path: Path) -> None:
    status, said = refused("--data", str(tmp_path / "new"), "--host", "198.51.100.7")

    assert status == 2
    assert said == "198.51.100.7 is not an address of this machine.\n"
    assert not (tmp_path / "new").exists()


def test_the_demo_is_a_folder_of_its_own_that_is_gone_at_the_end(tmp_path: Path) -> None:
    with (
        running("--data", str(tmp_path), "--port", str(free_port())) as real,
        running("demo", "--port", str(free_port())) as demo,
    ):
        assert "everything in it is invented" in demo.printed
        assert "everything in it is invented" not in real.printed
        assert demo.folder.is_dir()
        assert demo.folder != real.folder
        assert status_of(demo.start_link) == 200
        assert demo.stop() == 0
        assert not demo.folder.exists()


def test_the_demo_leaves_a_folder_with_a_build_alone(tmp_path: Path) -> None:
    open_folder(tmp_path, now=NOW).close()
    before = everything_in(tmp_path)

    status, said = refused("demo", "--data", str(tmp_path), "--port", str(free_port()))

    assert status == 2
    assert is_one_sentence(said)
    assert everything_in(tmp_path) == before


def test_the_installed_command_is_the_same_program() -> None:
    suffix = ".exe" if os.name == "nt" else ""
    installed = Path(sys.executable).with_name(f"putback{suffix}")
    helped = subprocess.run(
        [str(installed), "--help"], capture_output=True, text=True, check=True, timeout=seconds(30)
    )

    assert helped.stdout.startswith("usage: putback")
    for option in ("demo", "--data", "--port", "--host", "--name", "--no-browser"):
        assert option in helped.stdout
