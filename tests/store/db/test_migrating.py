import hashlib
import json
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy.exc import IntegrityError

from app.store.db import migrating
from app.store.db.database import migration_engine
from app.store.db.files import bundled
from app.store.db.migrating import (
    MigratingError,
    MigrationFailedError,
    NewerDatabaseError,
    NotADatabaseError,
    bring_up_to_date,
)
from app.store.demo.demo import fill_demo
from app.store.folder import DATABASE_FILE, open_folder

NOW = datetime(2031, 5, 4, 9, 30, 5, tzinfo=UTC)
SHAPE = "SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY name"
LINE = "INSERT INTO journal VALUES (1, 'a', NULL, 'item:1', 'add', '{}', 1, '[]', 'd', 'p', '', '')"
LINES_ONLY = {"0008"}
"""Migrations that write lines and change no table."""
REVISIONS = [script.revision for script in ScriptDirectory(str(bundled("migrations"))).walk_revisions()][::-1]

FIRST = """
op.execute("CREATE TABLE journal (seq INTEGER PRIMARY KEY, verb TEXT)")
op.execute("CREATE TRIGGER journal_no_update BEFORE UPDATE ON journal BEGIN SELECT RAISE(ABORT, 'no'); END")
op.execute("CREATE TRIGGER journal_no_delete BEFORE DELETE ON journal BEGIN SELECT RAISE(ABORT, 'no'); END")
op.execute("CREATE TABLE shelf (id INTEGER PRIMARY KEY, name TEXT)")
op.execute("CREATE TABLE bag (id INTEGER PRIMARY KEY, shelf INTEGER REFERENCES shelf ON DELETE CASCADE)")
op.execute("CREATE TRIGGER bag_no_delete BEFORE DELETE ON bag BEGIN SELECT RAISE(ABORT, 'no'); END")
"""


def run(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as database:
        for statement in statements:
            database.execute(statement)


def ask(path: Path, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as database:
        return database.execute(query).fetchall()


def dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as database:
        return list(database.iterdump())


def fingerprint(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


class Program:
    """A program whose migrations are written by the test: `release` adds one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.newest: str | None = None
        (folder / "versions").mkdir(parents=True)
        shutil.copy(bundled("migrations") / "env.py", folder)

    def release(self, revision: str, body: str) -> None:
        lines = "".join(f"    {line}\n" for line in body.strip().splitlines())
        (self.folder / "versions" / f"{revision}.py").write_text(
            f"import sqlalchemy as sa\nfrom alembic import op\nrevision = {revision!r}\n"
            f"down_revision = {self.newest!r}\ndef upgrade():\n{lines}"
        )
        self.newest = revision


@pytest.fixture
def program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Program:
    made = Program(tmp_path / "50% migrations")
    monkeypatch.setattr(migrating, "bundled", lambda _: made.folder)
    made.release("one", FIRST)
    return made


@pytest.fixture
def old(program: Program, tmp_path: Path) -> Path:
    """A database of the first release, with rows."""
    path = tmp_path / "garage" / "putback.db"
    path.parent.mkdir()
    bring_up_to_date(path, now=NOW)
    assert ask(path, "SELECT version_num FROM alembic_version") == [(program.newest,)]
    run(
        path,
        "INSERT INTO journal VALUES (1, 'add')",
        "INSERT INTO shelf VALUES (1, 'shed'), (2, 'hall')",
        "INSERT INTO bag VALUES (1, 1), (2, 1), (3, 2)",
    )
    return path


def test_a_missing_database_is_made(tmp_path: Path) -> None:
    bring_up_to_date(tmp_path / "putback.db", now=NOW)

    assert ask(tmp_path / "putback.db", "SELECT count(*) FROM journal") == [(0,)]
    assert ask(tmp_path / "putback.db", "PRAGMA journal_mode") == [("wal",)]
    assert [file.name for file in tmp_path.iterdir()] == ["putback.db"]


def test_nothing_is_printed(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    bring_up_to_date(tmp_path / "putback.db", now=NOW)

    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("left_over", ["", "PRAGMA journal_mode=WAL"], ids=["empty", "no tables"])
def test_a_database_whose_making_was_cut_off_is_made_again(tmp_path: Path, left_over: str) -> None:
    (tmp_path / "putback.db").touch()
    run(tmp_path / "putback.db", *([left_over] if left_over else []))

    bring_up_to_date(tmp_path / "putback.db", now=NOW)

    assert ask(tmp_path / "putback.db", "SELECT count(*) FROM journal") == [(0,)]
    assert [file.name for file in tmp_path.iterdir()] == ["putback.db"]


def test_a_database_that_is_up_to_date_is_left_alone(database_path: Path) -> None:
    before = fingerprint(database_path)

    bring_up_to_date(database_path, now=NOW)

    assert fingerprint(database_path) == before
    assert not (database_path.parent / "backups").exists()


def by_hand(path: Path, move: Callable[[Config, str], None], revision: str) -> None:
    config = Config()
    config.set_main_option("script_location", str(bundled("migrations")))
    config.set_main_option("path_separator", "os")
    with migration_engine(path).begin() as connection:
        config.attributes["connection"] = connection
        move(config, revision)


def attack_the_journal(path: Path) -> None:
    for attack in (
        "UPDATE journal SET verb = 'none'",
        "DELETE FROM journal",
        LINE.replace("INSERT", "INSERT OR REPLACE").replace("'add'", "'none'"),
    ):
        with (
            migration_engine(path).connect() as connection,
            pytest.raises(IntegrityError, match="only ever added"),
        ):
            connection.exec_driver_sql(attack)
    assert ask(path, "SELECT seq, verb FROM journal") == [(1, "add")]


@pytest.mark.parametrize("revision", REVISIONS)
def test_each_migration_keeps_the_journal_insert_only_going_up_down_and_up(
    tmp_path: Path, revision: str
) -> None:
    path = tmp_path / "putback.db"
    by_hand(path, command.upgrade, revision)
    run(path, LINE)
    attack_the_journal(path)

    by_hand(path, command.upgrade, "head")
    attack_the_journal(path)

    by_hand(path, command.downgrade, revision)
    attack_the_journal(path)

    by_hand(path, command.upgrade, "head")
    attack_the_journal(path)


def test_a_build_from_before_prices_counts_in_euros_and_waits_for_nothing(tmp_path: Path) -> None:
    path = tmp_path / "putback.db"
    by_hand(path, command.upgrade, "0002")
    run(path, "INSERT INTO build VALUES ('b', 1, 'a van', '', 'transverse', 'N·m', 'us', '', 4)")

    by_hand(path, command.upgrade, "0003")
    assert ask(path, "SELECT title, rev, currency FROM build") == [("a van", 4, "EUR")]
    assert ask(path, "SELECT count(*) FROM wait") == [(0,)]

    by_hand(path, command.downgrade, "0002")
    assert ask(path, "SELECT * FROM build") == [("b", 1, "a van", "", "transverse", "N·m", "us", "", 4)]


STEPS_OF_0006: tuple[tuple[str, str, str, list[str]], ...] = (
    ("1", "Take the weight, mounts off, walk round, engine out", "both", ["under_engine", "crane_low"]),
    ("2", "My own lift", "both", ["under_engine", "crane_low"]),
    ("3", "Turn the key", "on_only", ["first_start"]),
    ("4", "Crane up", "both", []),
    ("5", "Disconnect the battery, ground first", "both", ["battery_first", "high_voltage"]),
    ("6", "Plugs", "both", ["battery_first"]),
    ("7", "Oil in", "on_only", ["used_fluids"]),
    ("8", "Part them", "both", ["gearbox_prop", "engine_stand"]),
)


def test_steps_from_before_roles_get_them_by_their_starter_names_else_by_their_cautions(
    tmp_path: Path,
) -> None:
    path = tmp_path / "putback.db"
    by_hand(path, command.upgrade, "0006")
    build = "id, nr, title, vehicle, layout, units, dialect, made_at, rev, currency"
    run(path, f"INSERT INTO build ({build}) VALUES ('b', 1, '', '', 'transverse', '', 'us', '', 1, 'EUR')")  # noqa: S608
    step = "id, build_id, position, name, height, people, minutes, direction, cautions, shares_zone, rev"
    for at, (step_id, name, direction, cautions) in enumerate(STEPS_OF_0006):
        values = (
            f"'{step_id}', 'b', {at}, '{name}', 'wheels', 1, 5, '{direction}', '{json.dumps(cautions)}', 0, 3"
        )
        run(path, f"INSERT INTO step ({step}) VALUES ({values})")  # noqa: S608 - values of this test

    by_hand(path, command.upgrade, "0007")
    found = ask(path, "SELECT name, role, name_back, for_helper, rev FROM step ORDER BY position")
    names = [name for _, name, _, _ in STEPS_OF_0006]
    roles = ["lift", "lift", "first_start", "", "battery", "", "fill", "mating"]
    backs = ["Engine and transmission in", "", "", "", "Battery on", "", "", ""]
    helpers = [0, 0, 0, 1, 0, 1, 0, 0]
    assert found == [(*each, 3) for each in zip(names, roles, backs, helpers, strict=True)]
    (battery,) = ask(path, "SELECT instruction, instruction_back FROM step WHERE id = '5'")
    assert "negative cable off first" in str(battery[0])
    assert "last the negative" in str(battery[1])


@pytest.mark.parametrize("revision", REVISIONS)
def test_each_migration_taken_back_leaves_the_tables_as_before_it(tmp_path: Path, revision: str) -> None:
    path = tmp_path / "putback.db"
    by_hand(path, command.upgrade, f"{revision}")
    by_hand(path, command.downgrade, "-1")
    before = ask(path, SHAPE)
    by_hand(path, command.upgrade, revision)
    assert (ask(path, SHAPE) != before) is (revision not in LINES_ONLY)

    by_hand(path, command.downgrade, "-1")

    assert ask(path, SHAPE) == before


def rows_of(path: Path, shape: Mapping[str, str]) -> dict[str, list[list[object]]]:
    """Return the rows of the tables of a shape, in its columns; objects stored as JSON as what they say."""
    return {
        name: sorted(
            ([_said(value) for value in row] for row in ask(path, f'SELECT {columns} FROM "{name}"')),  # noqa: S608 - its own names
            key=repr,
        )
        for name, columns in shape.items()
    }


def _said(value: object) -> object:
    return sorted(json.loads(value).items()) if isinstance(value, str) and value.startswith("{") else value


RENAMED = {"wait": "outstanding", "act": "install_exception"}
RENAMED_COLUMNS = {("wait", "sort"): "category", ("wrench", "sort"): "type", ("build", "words"): "dialect"}


def under_present_names(shape: Mapping[str, str]) -> dict[str, str]:
    """Return an older shape with the names that its tables and columns have now."""
    return {
        RENAMED.get(name, name): ",".join(
            f'"{RENAMED_COLUMNS.get((name, column), column)}"' for column in columns.strip('"').split('","')
        )
        for name, columns in shape.items()
    }


def shape_of(path: Path) -> dict[str, str]:
    columns = "(SELECT group_concat('\"' || name || '\"') FROM pragma_table_info(t.name))"
    query = f"SELECT name, {columns} FROM sqlite_master t WHERE type = 'table'"  # noqa: S608 - no values
    return {str(name): str(said) for name, said in ask(path, query) if name != "alembic_version"}


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's database, with rows in nearly every table."""
    folder = open_folder(tmp_path_factory.mktemp("full"), now=NOW, demo=True)
    fill_demo(folder, now=NOW)
    folder.close()
    return folder.path / DATABASE_FILE


@pytest.mark.parametrize("revision", REVISIONS)
def test_a_full_database_taken_back_and_up_again_keeps_all_rows_that_the_older_one_has(
    tmp_path: Path, full: Path, revision: str
) -> None:
    path, older = tmp_path / "putback.db", tmp_path / "older.db"
    shutil.copy(full, path)
    by_hand(older, command.upgrade, revision)
    shape = shape_of(older)
    before = rows_of(path, under_present_names(shape))
    triggers = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' ORDER BY name"
    guards = ask(path, triggers)

    by_hand(path, command.downgrade, revision)
    assert shape_of(path) == shape
    taken_back = rows_of(path, shape)
    assert {RENAMED.get(n, n): len(rows) for n, rows in taken_back.items()} == {
        n: len(rows) for n, rows in before.items()
    }

    by_hand(path, command.upgrade, "head")
    after = rows_of(path, under_present_names(shape))
    lines = after.pop("journal")
    assert all(line in lines for line in before.pop("journal"))
    assert after == before
    assert ask(path, triggers) == guards
    assert ask(path, "PRAGMA foreign_key_check") == []


def test_an_older_database_keeps_its_rows_and_gets_the_new_tables(program: Program, old: Path) -> None:
    program.release("two", "op.create_table('crate', sa.Column('id', sa.Integer, primary_key=True))")

    bring_up_to_date(old, now=NOW)

    assert ask(old, "SELECT version_num FROM alembic_version") == [("two",)]
    assert ask(old, "SELECT count(*) FROM crate") == [(0,)]
    assert ask(old, "SELECT * FROM bag") == [(1, 1), (2, 1), (3, 2)]


def test_rebuilding_a_table_keeps_the_rows_that_name_its_rows(program: Program, old: Path) -> None:
    program.release(
        "two",
        "with op.batch_alter_table('shelf') as t: t.alter_column('name', new_column_name='word')",
    )

    bring_up_to_date(old, now=NOW)

    assert ask(old, "SELECT word FROM shelf") == [("shed",), ("hall",)]
    assert ask(old, "SELECT * FROM bag") == [(1, 1), (2, 1), (3, 2)]


def test_a_backup_from_before_the_migration_lies_beside_the_database(program: Program, old: Path) -> None:
    before = dump(old)
    program.release(
        "two", "op.execute('DELETE FROM shelf'); op.execute('DROP TABLE bag'); op.drop_table('shelf')"
    )

    bring_up_to_date(old, now=NOW.astimezone(timezone(timedelta(hours=-7))))

    assert [file.name for file in (old.parent / "backups").iterdir()] == ["putback-20310504T093005Z-one.db"]
    assert dump(old.parent / "backups" / "putback-20310504T093005Z-one.db") == before
    assert dump(old) != before


def test_no_backup_no_migration(program: Program, old: Path) -> None:
    before = dump(old)
    program.release("two", "op.execute('DROP TABLE bag')")
    (old.parent / "backups").write_text("a file where the folder belongs")

    with pytest.raises(MigrationFailedError, match="no backup"):
        bring_up_to_date(old, now=NOW)

    assert dump(old) == before


@pytest.mark.parametrize(
    ("body", "reason"),
    [
        (
            "op.execute('CREATE TABLE crate (id)'); op.execute('INSERT INTO crate VALUES (1)'); 1 / 0",
            "division",
        ),
        ("op.execute('DROP TABLE bag'); op.execute('SELECT nonsense')", "no such column: nonsense$"),
        ("op.execute('DELETE FROM shelf WHERE id = 1')", "table shelf would shrink from 2 to 1 rows"),
        (
            "op.execute('UPDATE bag SET shelf = 9')",
            "a row of table bag would name a row of shelf that is not there",
        ),
        ("op.execute('DROP TRIGGER bag_no_delete')", "table bag would lose its trigger bag_no_delete"),
        (
            "with op.batch_alter_table('bag') as t: t.alter_column('shelf', new_column_name='on_shelf')",
            "table bag would lose its trigger bag_no_delete",
        ),
        ("op.execute('DROP TRIGGER journal_no_delete')", "journal_no_delete"),
        ("op.execute('DROP TABLE journal')", "the journal would be without its trigger journal_no_update"),
    ],
    ids=[
        "raises",
        "refused",
        "rows lost",
        "dangling",
        "trigger lost",
        "rebuilt",
        "journal open",
        "journal gone",
    ],
)
def test_a_failing_migration_leaves_the_old_database_as_it_was(
    program: Program, old: Path, body: str, reason: str
) -> None:
    before = dump(old)
    program.release("two", "op.create_table('half_way', sa.Column('id', sa.Integer))")
    program.release("three", body)

    with pytest.raises(MigrationFailedError, match=reason) as failure:
        bring_up_to_date(old, now=NOW)

    assert str(old) in str(failure.value)
    assert dump(old) == before
    assert [file.name for file in old.parent.iterdir()] == ["putback.db", "backups"]


def test_a_new_database_without_the_journals_triggers_is_not_made(program: Program, tmp_path: Path) -> None:
    program.release("two", "op.execute('DROP TRIGGER journal_no_update')")

    with pytest.raises(MigrationFailedError, match="journal_no_update"):
        bring_up_to_date(tmp_path / "putback.db", now=NOW)

    assert ask(tmp_path / "putback.db", "SELECT count(*) FROM sqlite_master") == [(0,)]


@pytest.fixture(params=["closed", "killed"])
def newer(request: pytest.FixtureRequest, database_path: Path) -> Iterator[Path]:
    """A database of a newer program; killed: with its last commits still in the log beside it."""
    run(database_path, "UPDATE alembic_version SET version_num = '9001'")
    if request.param == "closed":
        yield database_path
        return
    with closing(sqlite3.connect(database_path)) as newest:
        newest.execute("CREATE TABLE of_the_newer_program (a)")
        killed = database_path.parent / "killed"
        killed.mkdir()
        for name in ("putback.db", "putback.db-wal"):
            shutil.copy(database_path.parent / name, killed)
    yield killed / "putback.db"


def test_a_newer_database_is_refused_in_one_sentence_and_untouched(newer: Path) -> None:
    files = [file for file in newer.parent.iterdir() if file.is_file()]
    before = [fingerprint(file) for file in files]

    with pytest.raises(NewerDatabaseError, match="newer Putback") as refusal:
        bring_up_to_date(newer, now=NOW)

    assert [fingerprint(file) for file in files] == before
    assert str(newer) in str(refusal.value)
    assert str(refusal.value).count(". ") == 0
    assert not (newer.parent / "backups").exists()


@pytest.mark.parametrize(
    "content", [b"GIF89a", b"SQLite format 3\x00", b"SQLite format 3\x00" + b"\xff" * 5000, b"\x00" * 4096]
)
def test_a_file_that_is_no_database_is_refused_and_untouched(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "putback.db").write_bytes(content)

    with pytest.raises(NotADatabaseError, match="not a Putback database"):
        bring_up_to_date(tmp_path / "putback.db", now=NOW)

    assert (tmp_path / "putback.db").read_bytes() == content


@pytest.mark.parametrize(
    "tables",
    ["CREATE TABLE other (a)", "CREATE TABLE alembic_version (version_num)"],
    ids=["other", "unmarked"],
)
def test_a_database_of_another_program_is_refused_and_untouched(tmp_path: Path, tables: str) -> None:
    run(tmp_path / "putback.db", tables)
    before = fingerprint(tmp_path / "putback.db")

    with pytest.raises(NotADatabaseError):
        bring_up_to_date(tmp_path / "putback.db", now=NOW)

    assert fingerprint(tmp_path / "putback.db") == before


def test_a_database_that_cannot_be_opened_is_named(tmp_path: Path) -> None:
    (tmp_path / "putback.db").mkdir()

    with pytest.raises(MigratingError, match=r"putback\.db cannot be read: "):
        bring_up_to_date(tmp_path / "putback.db", now=NOW)
