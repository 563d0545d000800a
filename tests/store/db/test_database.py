import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, InvalidRequestError, OperationalError
from sqlalchemy.orm import Session

from app.store.db.database import DamagedDatabaseError, Database, copy_database, has_written
from app.store.db.models import Device, Person


def names(database: Database) -> list[str]:
    with database.reading() as session:
        return [person.name for person in session.query(Person).order_by(Person.name)]


def add(database: Database, name: str) -> None:
    with database.unit_of_work() as session:
        session.add(Person(id=name, name=name))


def work(database: Database, *acts: Callable[[Session], object]) -> None:
    with database.unit_of_work() as session:
        for act in acts:
            act(session)


def add_ada(session: Session) -> None:
    session.add(Person(id="1", name="Ada"))


def add_device_of_nobody(session: Session) -> None:
    phone = {"label": "", "role": "", "key_hash": "", "made_at": "", "seen_at": ""}
    session.add(Device(id="1", person_id="nobody", **phone))


def fail(_: Session) -> None:
    raise KeyError


def pragma(database: Database, name: str, *, write: bool) -> object:
    with database.unit_of_work() if write else database.reading() as session:
        return session.execute(text(f"PRAGMA {name}")).scalar_one()


def test_a_unit_of_work_keeps_what_it_added(database: Database) -> None:
    add(database, "Ada")

    assert names(database) == ["Ada"]


def test_a_unit_of_work_has_written_from_its_first_row_on_also_when_nothing_asked_for_it_yet(
    database: Database,
) -> None:
    with database.unit_of_work() as session:
        before = has_written(session)
        session.add(Person(id="1", name="Ada"))
        after = has_written(session)
    with database.unit_of_work() as session:
        next_one = has_written(session)
    with database.reading() as session:
        reader = has_written(session)

    assert (before, after, next_one, reader) == (False, True, False, False)


def test_a_failing_unit_of_work_keeps_nothing(database: Database) -> None:
    with pytest.raises(KeyError):
        work(database, add_ada, Session.flush, fail)

    assert names(database) == []


def test_only_the_end_of_a_unit_of_work_commits(database: Database) -> None:
    with pytest.raises(KeyError):
        work(database, add_ada, Session.commit, fail)

    assert names(database) == []


def test_a_unit_of_work_that_was_rolled_back_inside_says_that_nothing_is_kept(database: Database) -> None:
    with pytest.raises(InvalidRequestError):
        work(database, add_ada, Session.flush, Session.rollback)

    assert names(database) == []


def test_a_unit_of_work_refused_at_its_commit_keeps_nothing_and_the_next_one_works(
    database: Database,
) -> None:
    late = text("PRAGMA defer_foreign_keys=ON")
    with pytest.raises(IntegrityError):
        work(database, lambda session: session.execute(late), add_ada, add_device_of_nobody)

    add(database, "Grace")

    assert names(database) == ["Grace"]


def test_a_row_that_names_a_missing_row_is_refused(database: Database) -> None:
    with pytest.raises(IntegrityError):
        work(database, add_device_of_nobody)


def test_a_unit_of_work_inside_another_is_refused_instead_of_waiting_for_ever(database: Database) -> None:
    with database.unit_of_work() as session:
        session.add(Person(id="1", name="Ada"))
        with pytest.raises(RuntimeError), database.unit_of_work():
            pass

    assert names(database) == ["Ada"]


def test_what_was_loaded_can_be_used_after_the_end(database: Database) -> None:
    with database.unit_of_work() as session:
        person = Person(id="1", name="Ada")
        session.add(person)

    assert person.name == "Ada"


@pytest.mark.parametrize(
    "write",
    [
        add_ada,
        lambda session: session.execute(text("INSERT INTO person VALUES ('1', 'Ada')")),
        lambda session: session.execute(text("CREATE TABLE other (a)")),
    ],
    ids=["added", "inserted", "table"],
)
def test_a_write_while_reading_fails(database: Database, write: Callable[[Session], object]) -> None:
    with pytest.raises(OperationalError, match="readonly"), database.reading() as session:
        write(session)

    assert names(database) == []


def test_a_reader_sees_one_moment_while_a_writer_goes_on(database: Database) -> None:
    add(database, "Ada")
    with database.reading() as session:
        before = session.query(Person).count()
        add(database, "Grace")

        assert (before, session.query(Person).count()) == (1, 1)

    assert names(database) == ["Ada", "Grace"]


@pytest.mark.parametrize("write", [False, True], ids=["reading", "writing"])
@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("journal_mode", "wal"),
        ("synchronous", 2),
        ("foreign_keys", 1),
        ("busy_timeout", 5000),
        ("recursive_triggers", 1),
        ("trusted_schema", 0),
    ],
)
def test_every_connection_has_the_safe_settings(
    database: Database, name: str, value: object, *, write: bool
) -> None:
    assert pragma(database, name, write=write) == value


def test_no_update_is_lost_and_nobody_is_locked_out_when_sixteen_threads_write_and_read(
    database: Database,
) -> None:
    with database.unit_of_work() as session:
        session.add(Person(id="count", name="0"))

    def count_up(_: int) -> None:
        for _ in range(25):
            with database.unit_of_work() as session:
                person = session.get_one(Person, "count")
                person.name = str(int(person.name) + 1)
            names(database)

    with ThreadPoolExecutor(16) as threads:
        list(threads.map(count_up, range(16)))

    assert names(database) == ["400"]


def test_nobody_writes_between_what_a_unit_of_work_reads_and_what_it_writes(
    database: Database, database_path: Path
) -> None:
    with (
        closing(sqlite3.connect(database_path, timeout=0)) as other,
        database.unit_of_work(),
        pytest.raises(sqlite3.OperationalError, match="locked"),
    ):
        other.execute("INSERT INTO person VALUES ('1', 'Ada')")


def test_a_writer_waits_for_another_process_instead_of_failing(
    database: Database, database_path: Path
) -> None:
    with closing(sqlite3.connect(database_path, isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN IMMEDIATE")
        letting_go = threading.Timer(0.3, lambda: other.execute("COMMIT"))
        letting_go.start()
        add(database, "Ada")
        letting_go.join()

    assert names(database) == ["Ada"]


def test_the_log_is_written_back_by_the_writer_and_stays_small(
    database: Database, database_path: Path
) -> None:
    for number in range(3000):
        add(database, f"{number} {'x' * 4000}")
        if number % 100 == 0:
            with database.reading() as session:
                session.execute(text("SELECT name FROM person LIMIT 1")).scalar_one()

    assert Path(f"{database_path}-wal").stat().st_size < 8_000_000 < database_path.stat().st_size


def test_a_reading_connection_never_writes_back_the_log(database: Database) -> None:
    assert pragma(database, "wal_autocheckpoint", write=False) == 0


def test_closing_leaves_one_whole_file(database_path: Path) -> None:
    database = Database(database_path)
    add(database, "Ada")
    names(database)
    database.close()

    assert [file.name for file in database_path.parent.iterdir()] == ["putback.db"]
    with closing(sqlite3.connect(database_path)) as reopened:
        assert reopened.execute("SELECT name FROM person").fetchall() == [("Ada",)]


WRITER = """
import sys
from pathlib import Path
from app.store.db.database import Database
from app.store.db.models import Person
database = Database(Path(sys.argv[1]))
number = int(sys.argv[2])
while True:
    with database.unit_of_work() as session:
        session.add(Person(id=f"{number}", name="x" * 2000))
    print(number, flush=True)
    number += 1
"""


def test_a_killed_writer_loses_nothing_that_it_acknowledged(database_path: Path) -> None:
    for round_ in range(3):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(database_path), f"{round_ * 1_000_000}"],
            stdout=subprocess.PIPE,
            text=True,
        ) as writer:
            assert writer.stdout is not None
            first = writer.stdout.readline()
            time.sleep(0.05 * (round_ + 1))
            os.kill(writer.pid, signal.SIGKILL)
            acknowledged = (first + writer.stdout.read()).split()
        assert acknowledged

        with closing(sqlite3.connect(database_path)) as database:
            kept = {row[0] for row in database.execute("SELECT id FROM person")}
            assert kept.issuperset(acknowledged)
            assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_a_copy_of_an_open_database_holds_its_last_commit(database: Database, database_path: Path) -> None:
    add(database, "Ada")
    target = database_path.parent / "copies" / "copy.db"

    copy_database(database_path, target)

    assert [file.name for file in target.parent.iterdir()] == ["copy.db"]
    with closing(sqlite3.connect(target)) as copy:
        assert copy.execute("SELECT name FROM person").fetchall() == [("Ada",)]


def overwrite_a_page(path: Path) -> None:
    with path.open("rb+") as file:
        file.seek(-3 * 4096, os.SEEK_END)
        file.write(b"\xff" * 4096)


def break_a_rule(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as database:
        database.execute("PRAGMA writable_schema=ON")
        database.execute("UPDATE sqlite_master SET sql = replace(sql, 'name VARCHAR', 'name CHECK (0)')")


@pytest.mark.parametrize("damage", [overwrite_a_page, break_a_rule])
def test_a_damaged_database_is_not_copied(
    database_path: Path, tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    database = Database(database_path)
    for number in range(200):
        add(database, f"{number} {'x' * 400}")
    database.close()
    damage(database_path)
    (tmp_path / "copies").mkdir()
    (tmp_path / "copies" / "copy.db").write_text("the copy before")

    with pytest.raises(DamagedDatabaseError, match=str(database_path)):
        copy_database(database_path, tmp_path / "copies" / "copy.db")

    assert [file.read_text() for file in (tmp_path / "copies").iterdir()] == ["the copy before"]
