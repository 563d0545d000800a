"""A folder of an earlier release: its lines did not suffice, and phones still keep marks from before."""

import json
import random
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import select

from app.core.items.state import ItemState
from app.core.ledger.ledger import next_act
from app.store.checking.lines import line_problems
from app.store.crew import Visitor
from app.store.db.clock import new_id
from app.store.db.database import migration_engine
from app.store.db.files import bundled
from app.store.db.models import Base, Build, Device, ItemStateRow
from app.store.demo.demo import fill_demo
from app.store.folder import DATABASE_FILE, Folder, open_folder
from app.store.intake import intake
from app.store.intake.entries import Sent
from app.store.journal import read_state
from app.store.loading import load
from app.store.rebuilding.rebuilding import DERIVED, rebuild
from tests.store.garage import NOON, NOW
from tests.store.rebuilding.test_rebuilding import rows_of

SAID_BEFORE = {
    "add": {"kind", "act", "born", "found_on", "title", "name"},
    "photo": {"sha256", "shows"},
    "treat": {"wait", "said"},
}
"""What lines of these verbs said in earlier releases; a line of an edit said what changed, here nothing."""


def as_told_before(path: Path) -> None:
    """Make the lines say no more than earlier releases wrote, and take the tables back to theirs."""
    with closing(sqlite3.connect(path, isolation_level=None)) as database:
        triggers = database.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'journal'"
        ).fetchall()
        for name, _ in triggers:
            database.execute(f"DROP TRIGGER {name}")
        database.execute("DELETE FROM journal WHERE subject GLOB 'sheet:*'")
        for seq, verb, body in database.execute("SELECT seq, verb, body FROM journal").fetchall():
            known = SAID_BEFORE.get(verb, set() if verb == "edit" else json.loads(body))
            said = {key: value for key, value in json.loads(body).items() if key in known}
            database.execute("UPDATE journal SET v = 1, body = ? WHERE seq = ?", (json.dumps(said), seq))
        for _, sql in triggers:
            database.execute(sql)
        database.execute("UPDATE item_state SET state = json_set(state, '$.fold', 4)")
    config = Config()
    config.set_main_option("script_location", str(bundled("migrations")))
    config.set_main_option("path_separator", "os")
    with migration_engine(path).begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "0007")


@pytest.fixture
def made(tmp_path: Path) -> Path:
    folder = open_folder(tmp_path / "data", now=NOON, demo=True)
    fill_demo(folder, now=NOON, choose=random.Random(5).choice)  # noqa: S311
    folder.close()
    return folder.path


def states_of(folder: Folder) -> dict[str, ItemState]:
    """Return all states, but for the lines that a next one names; of when things came off the order alone."""
    with folder.database.reading() as session:
        rows = session.scalars(select(ItemStateRow)).all()
        assert list(line_problems(session)) == []
        states = {row.subject: replace(read_state(row.state), tips=(), last_seq=0) for row in rows}
    order = sorted({state.off_seq for state in states.values()})
    return {key: replace(state, off_seq=order.index(state.off_seq)) for key, state in states.items()}


def queued(folder: Folder) -> list[dict[str, Any]]:
    """Return what phones keep: the next act of everything, in sight of what they showed."""
    with folder.database.reading() as session:
        build = load(session, 1, 0)
        assert build is not None
        return [
            {
                "id": new_id(), "build": build.id, "subject": entry.subject, "verb": "mark",
                "body": {"act": act.value}, "after": list(entry.state.tips), "type": "line",
            }
            for entry in build.items
            if (act := next_act(entry.item, entry.state)) and not entry.state.pending
        ]  # fmt: skip


def land(folder: Folder, entries: list[dict[str, Any]]) -> None:
    with folder.database.unit_of_work() as session:
        device = session.scalars(select(Device).where(Device.role == "owner")).first()
        assert device is not None
        visitor = Visitor(device.id, device.person_id, "", "owner", shut=False)
        for entry in entries:
            assert intake.receive(session, Sent(entry), visitor, now=NOW).status == 200


def opened(path: Path) -> Folder:
    return open_folder(path, now=NOON)


NOT_SAID_THEN = {"build", "item", "edge", "item_state", "goes_after", "side_exception"}
"""What earlier releases did not know all of: owners that somebody chose, units, gaskets and caps."""


def named(table: str, rows: dict[str, list[tuple[Any, ...]]]) -> list[dict[str, Any]]:
    columns = Base.metadata.tables[table].columns.keys()
    return [dict(zip(columns, row, strict=True)) for row in rows[table]]


def told_then(table: str, row: tuple[Any, ...]) -> dict[str, Any]:
    """Return what an earlier release knew of a row."""
    known = dict(zip(Base.metadata.tables[table].columns.keys(), row, strict=True))
    return {
        k: v
        for k, v in known.items()
        if k not in {"owner", "rev", "system", "was_critical", "listed_as", "critical_as"}
    }


def test_an_upgrade_changes_no_row_and_no_state_and_the_lines_suffice_afterwards(made: Path) -> None:
    before = opened(made)
    rows, states = rows_of(before.database), states_of(before)
    before.close()
    as_told_before(made / DATABASE_FILE)

    folder = opened(made)

    after = rows_of(folder.database)
    assert {n: after[n] for n in DERIVED if n not in NOT_SAID_THEN} == {
        n: rows[n] for n in DERIVED if n not in NOT_SAID_THEN
    }
    assert [told_then("item", row) for row in after["item"]] == [
        told_then("item", row) for row in rows["item"]
    ]
    assert {row["owner"] for row in named("item", after)} <= {row["owner"] for row in named("item", rows)} | {
        ""
    }
    assert [row["swap"] for row in named("build", after)] == ["{}"]
    assert states_of(folder) == states
    with folder.database.unit_of_work() as session:
        rebuild(session)
    again = rows_of(folder.database)
    assert {name: sorted(again[name], key=repr) for name in again} == {
        name: sorted(after[name], key=repr) for name in after
    }
    folder.close()


def test_a_mark_that_a_phone_kept_since_before_lands_as_it_would_have(made: Path, tmp_path: Path) -> None:
    other = Path(shutil.copytree(made, tmp_path / "other"))
    never_upgraded = opened(other)
    entries = queued(never_upgraded)
    land(never_upgraded, entries)
    expected = states_of(never_upgraded)
    never_upgraded.close()
    as_told_before(made / DATABASE_FILE)

    folder = opened(made)
    land(folder, entries)

    assert len(entries) > 20
    found = states_of(folder)
    assert found == expected
    folder.close()


def test_a_line_after_the_upgrade_names_all_that_is_known(made: Path) -> None:
    as_told_before(made / DATABASE_FILE)
    folder = opened(made)
    land(folder, queued(folder))

    with folder.database.reading() as session:
        build = load(session, 1, 0)
        assert build is not None
        assert session.scalar(select(Build.rev)) == build.rev
        tips = [len(entry.state.tips) for entry in build.items]
    assert max(tips) <= 2
    folder.close()
