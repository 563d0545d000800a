"""A build with Ada in it, opened on a real file, and short ways to say what her phone sends."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import func, select, text

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import Item
from app.core.items.journal import Line
from app.core.items.kinds import Act
from app.core.phases.swap import Swap
from app.store import crew
from app.store.crew import Visitor
from app.store.db.clock import new_id, stamp
from app.store.db.database import Database
from app.store.db.models import Base, Build, Step, Zone
from app.store.intake import intake
from app.store.intake.entries import IntakeAnswer, Sent
from app.store.loading import load
from app.store.plan.builds import Writer, edit_build, layout, new_build
from app.store.plan.items import add_item, first_line
from tests.swaps import NO_ENGINE

NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
NOW = stamp(NOON)


@dataclass(frozen=True, slots=True)
class Garage:
    database: Database
    build: str
    steps: tuple[str, ...]
    zones: tuple[str, ...]
    ada: Visitor

    @property
    def writer(self) -> Writer:
        return Writer(self.ada.person, self.ada.device)

    def step(self, key: str) -> str:
        """The id of a starter step."""
        keys = [step["key"] for step in layout("transverse")["steps"]]
        return self.steps[keys.index(key)]

    def receive(self, entry: dict[str, Any], *, by: Visitor | None = None, **sent: Any) -> IntakeAnswer:
        with self.database.unit_of_work() as session:
            return intake.receive(session, Sent(entry, **sent), by or self.ada, now=NOW)

    def line(
        self, subject: str, verb: str = "mark", *, after: tuple[str, ...] = (), **body: Any
    ) -> dict[str, Any]:
        return {
            "id": new_id(), "build": self.build, "subject": subject, "verb": verb,
            "body": body, "after": list(after),
        }  # fmt: skip

    def capture(self, **over: Any) -> dict[str, Any]:
        return {
            "id": new_id(), "type": "capture", "build": self.build, "item": new_id(),
            "kind": "connection", "step": self.steps[0], "zone": self.zones[0],
        } | over  # fmt: skip

    def add(self, item: Item, *, act: Act | None = None) -> str:
        """Bring an item into being and return the id of its first line."""
        line = first_line(
            item, line_id=new_id(), act=act, person=self.ada.person, device=self.ada.device, at=NOW
        )
        with self.database.unit_of_work() as session:
            add_item(session, item, line, build_id=self.build, now=NOW)
        return line.id

    def is_about(self, swap: Swap) -> None:
        """Say how the engine leaves and comes back."""
        with self.database.unit_of_work() as session:
            build = session.get_one(Build, self.build)
            values = {"swap": swap.stored()}
            assert edit_build(session, self.build, values, rev=build.rev, writer=self.writer, now=NOW) is None

    def milestones(self, *told: str) -> None:
        """Tell milestones one after the other: the verb, then the units."""
        for each in told:
            verb, *units = each.split()
            after = tuple(line.id for line in self.now().milestones)
            entry = self.line(f"build:{self.build}", verb, after=after, units=units)
            assert self.receive(entry).status == 200, each

    def about(self, subject: str, verb: str, body: dict[str, Any]) -> Line:
        return self.writer.line(subject, verb, body)

    def now(self) -> Snapshot:
        with self.database.reading() as session:
            loaded = load(session, 1, 0)
        assert loaded is not None
        return loaded

    def entry(self, item_id: str) -> Entry:
        return self.now().entries[item_id]

    def rows(self) -> dict[str, int]:
        """How many rows each table has."""
        with self.database.reading() as session:
            return {
                name: session.scalar(select(func.count()).select_from(table)) or 0
                for name, table in Base.metadata.tables.items()
            }

    def ask(self, sql: str) -> list[tuple[Any, ...]]:
        with self.database.reading() as session:
            return [tuple(row) for row in session.execute(text(sql))]


def furnish(database: Database) -> Garage:
    """Make an invented build in an empty database."""
    with database.unit_of_work() as session:
        device, _ = crew.let_in(session, name="Ada", label="phone", role="owner", now=NOON)
        ada = Visitor(device.id, device.person_id, "Ada", "owner", shut=False)
        build = new_build(
            session,
            title="An invented build",
            vehicle="none",
            layout_key="transverse",
            units="N·m",
            dialect="uk",
            writer=Writer(ada.person, ada.device),
            now=NOW,
            swap=NO_ENGINE,
        )
        steps = tuple(session.scalars(select(Step.id).order_by(Step.position)))
        zones = tuple(session.scalars(select(Zone.id).order_by(Zone.position)))
        return Garage(database, build.id, steps, zones, ada)


@contextmanager
def fresh_garage(template: Path) -> Iterator[Garage]:
    """A garage on a copy of the empty database, for tests that need many."""
    with TemporaryDirectory() as folder:
        database = Database(Path(shutil.copy(template, Path(folder) / "putback.db")))
        try:
            yield furnish(database)
        finally:
            database.close()
