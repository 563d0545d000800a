"""The record alone suffices: what is dropped comes back, row for row, in the same order."""

import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import delete, select, text
from sqlalchemy.exc import IntegrityError

from app.core.items.items import Fastener, Item
from app.core.items.kinds import ITEM_KINDS, Act, Kind
from app.core.order.acts import InstallException, StepEdge
from app.core.problem import Problem
from app.core.procurement.outstanding import Outstanding
from app.core.torque.wrenches import Adapter
from app.store import tags
from app.store.checking.lines import line_problems
from app.store.db.clock import new_id
from app.store.db.database import Database
from app.store.db.models import AdapterRow, Base, Build, ItemRow, OutstandingRow, Step
from app.store.demo.demo import fill_demo
from app.store.folder import Folder, open_folder
from app.store.intake.entries import StoredPicture
from app.store.plan import builds, steps, wrenches
from app.store.plan.deleted_steps import delete_step, deleted_steps, restore_step
from app.store.plan.install_exceptions import set_install_exceptions
from app.store.plan.items import edit_item, set_edges
from app.store.procurement import outstanding
from app.store.rebuilding.rebuilding import DERIVED, KEPT, rebuild
from tests.store.garage import NOON, NOW, Garage, fresh_garage

TODAY = NOON.date()
Rows = dict[str, list[tuple[Any, ...]]]


EMPTY_HERE = frozenset({"install_exception", "goes_after", "side_exception", "adapter"})
"""Tables of which the demo has no row."""


def rows_of(database: Database) -> Rows:
    """Return every row of every table, in the order in which they were written."""
    with database.reading() as session:
        return {
            name: [tuple(row) for row in session.execute(text(f'SELECT * FROM "{name}" ORDER BY rowid'))]  # noqa: S608
            for name in Base.metadata.tables
        }


def rebuilt(database: Database) -> Rows:
    with database.unit_of_work() as session:
        rebuild(session)
    return rows_of(database)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Folder]:
    folder = open_folder(tmp_path_factory.mktemp("demo"), now=NOON, demo=True)
    fill_demo(folder, now=NOON, choose=random.Random(5).choice)  # noqa: S311
    yield folder
    folder.close()


def test_every_table_follows_from_the_journal_or_is_kept() -> None:
    assert {*DERIVED, *KEPT, "item_state"} == set(Base.metadata.tables)


def test_the_demo_comes_back_from_its_lines(demo: Folder) -> None:
    before = rows_of(demo.database)
    assert all(before[name] for name in DERIVED if name not in EMPTY_HERE)

    assert rebuilt(demo.database) == before
    with demo.database.reading() as session:
        assert list(line_problems(session)) == []


def test_what_is_dropped_is_really_dropped(demo: Folder) -> None:
    before = rows_of(demo.database)
    with demo.database.unit_of_work() as session:
        session.execute(delete(OutstandingRow))
        session.execute(text("UPDATE item SET name = 'spoilt', n = 77"))

    assert rebuilt(demo.database) == before


def test_a_code_that_was_printed_stays_known_afterwards(demo: Folder) -> None:
    rebuilt(demo.database)

    with pytest.raises(IntegrityError, match="stays known"), demo.database.unit_of_work() as session:
        session.execute(text("DELETE FROM tag"))


class Hands:
    """Somebody who does one thing after another, each through the store's own functions."""

    def __init__(self, garage: Garage, draw: Callable[[st.SearchStrategy[Any]], Any]) -> None:
        self.garage, self.draw, self.writer = garage, draw, garage.writer

    def pick(self, table: type[Any], column: str = "id") -> Any:
        with self.garage.database.reading() as session:
            found = sorted(session.scalars(select(getattr(table, column))))
        return self.draw(st.sampled_from(found)) if found else None

    def row(self, session: Any, table: type[Any], row_id: str) -> Any:
        return session.get_one(table, row_id)

    def capture(self) -> None:
        code = self.draw(st.sampled_from(["", "7K3F9QQ", "2222228"]))
        kind = self.draw(st.sampled_from([kind.value for kind in ITEM_KINDS]))
        about = self.pick(ItemRow) if kind == "finding" else None
        entry = self.garage.capture(code=code, kind=kind, about=about or "", what="crack")
        picture = StoredPicture("a" * 64, 800, 600) if self.draw(st.booleans()) else None
        self.garage.receive(entry, picture=picture)

    def mark(self) -> None:
        if item := self.pick(ItemRow):
            act = self.draw(st.sampled_from([act.value for act in Act]))
            tips = self.garage.entry(item).state.tips
            after = tips if self.draw(st.booleans()) else ()
            self.garage.receive(self.garage.line(f"item:{item}", act=act, after=tuple(after)))

    def describe(self) -> None:
        item, other = self.pick(ItemRow), self.pick(ItemRow)
        if not item:
            return
        with self.garage.database.unit_of_work() as session:
            row = session.get_one(ItemRow, item)
            n = self.draw(st.sampled_from([None, 1, 4]))
            changed = Item(
                item, row.number, Kind.FASTENER, self.draw(st.sampled_from(["", "bolts"])),
                self.draw(st.sampled_from(["", *self.steps(session)])),
                self.draw(st.sampled_from(["", self.garage.zones[0]])), n,
                detail=Fastener(thread="M8", torque=self.draw(st.sampled_from(["", "25 N·m", "900 N·m"]))),
            )  # fmt: skip
            line = self.garage.about(f"item:{item}", "edit", {})
            edges = {"holds": {other} - {item}} if self.draw(st.booleans()) else {}
            edit_item(session, item, changed, line, rev=row.rev, now=NOW, edges=edges)

    def steps(self, session: Any) -> list[str]:
        return sorted(session.scalars(select(Step.id).where(Step.direction == "both")))

    def relate(self) -> None:
        frm, to = self.pick(ItemRow), self.pick(ItemRow)
        if frm and frm != to:
            rel = self.draw(st.sampled_from(["holds", "replaces", "pairs", "moves_to"]))
            targets = {to} if self.draw(st.booleans()) else set()
            with self.garage.database.unit_of_work() as session:
                set_edges(session, frm, rel, targets, self.garage.about(f"item:{frm}", "edit", {}), now=NOW)

    def exempt(self) -> None:
        if item := self.pick(ItemRow):
            with self.garage.database.unit_of_work() as session:
                row = session.get_one(ItemRow, item)
                what = self.draw(st.sampled_from(["twice", "during"]))
                said = [
                    InstallException(item, self.draw(st.sampled_from(self.steps(session))), what, 1, "so")
                ]
                line = self.garage.about(f"item:{item}", "edit", {})
                set_install_exceptions(
                    session, item, said[: self.draw(st.integers(0, 1))], line, rev=row.rev, now=NOW
                )

    def change_steps(self) -> None:
        writes: dict[str, Any] = {"writer": self.writer, "now": NOW}
        values = {"height": "wheels", "people": 1, "minutes": 5, "direction": "both", "shares_zone": True}
        step, other = self.pick(Step), self.pick(Step)
        with self.garage.database.unit_of_work() as session:
            match self.draw(st.integers(0, 4)):
                case 0:
                    steps.add_step(session, self.garage.build, {"name": "more", **values}, **writes)
                case 1:
                    steps.move_step(session, step, self.draw(st.sampled_from([-1, 1])), **writes)
                case 2:
                    delete_step(session, step, **writes)
                    if self.draw(st.booleans()):
                        (gone, *_) = deleted_steps(session, self.garage.build)
                        restore_step(session, gone.line, **writes)
                case 3:
                    rev = session.get_one(Step, step).rev
                    waits = [StepEdge(other, step, "no room")] if self.draw(st.booleans()) else None
                    steps.edit_step(session, step, {"name": "else"}, rev=rev, predecessors=waits, **writes)
                case _:
                    builds.add_zone(session, self.garage.build, "roof", "above", **writes)

    def hang(self) -> None:
        with self.garage.database.unit_of_work() as session:
            _, codes = tags.print_sheet(
                session, count=2, grid="a", halves=True, name="garage", port=8765, now=NOW
            )
            item = session.scalars(select(ItemRow.id)).first()
            if item:
                line = self.garage.about(f"tag:{codes[0]}", "give", {"to": f"item:{item}"})
                tags.give(session, codes[0], f"item:{item}", line, build_id=self.garage.build, now=NOW)
            if self.draw(st.booleans()):
                line = self.garage.about(f"tag:{codes[0]}", "void", {})
                tags.make_void(session, codes[0], line, build_id=self.garage.build, now=NOW)

    def wait(self) -> None:
        known, item = self.pick(OutstandingRow), self.pick(ItemRow)
        with self.garage.database.unit_of_work() as session:
            row = session.get(OutstandingRow, known or "")
            change = outstanding.Edit(self.writer, NOW, TODAY, row.rev if row else 0)
            match self.draw(st.integers(0, 3)) if row else 0:
                case 0:
                    subject = f"item:{item}" if item else f"build:{self.garage.build}"
                    wish = Outstanding(new_id(), subject, "get", "other", "gasket", count=3)
                    new = outstanding.Edit(self.writer, NOW, TODAY)
                    outstanding.save_outstanding(
                        session, wish, new, build_id=self.garage.build, currency="EUR"
                    )
                case 1:
                    outstanding.end_outstanding(session, known, change, count=self.draw(st.integers(1, 3)))
                case 2:
                    outstanding.reopen_outstanding(session, known, change)
                case _:
                    outstanding.drop_outstanding(session, known, change)

    def tools(self) -> None:
        with self.garage.database.unit_of_work() as session:
            row = session.scalars(select(AdapterRow)).first()
            of, rev = (row.id, row.rev) if row else ("", 0)
            change = wrenches.Edit(self.writer, NOW, of, rev)
            if row and self.draw(st.booleans()):
                wrenches.remove(session, AdapterRow, change)
            else:
                adapter = Adapter("foot", float(self.draw(st.integers(20, 60))), 0.0)
                problems = wrenches.save_adapter(session, adapter, change)
                assert not any(isinstance(each, Problem) for each in problems)

    def settings(self) -> None:
        with self.garage.database.unit_of_work() as session:
            rev = session.get_one(Build, self.garage.build).rev
            values = {"title": self.draw(st.sampled_from(["one", "two"])), "currency": "GBP"}
            builds.edit_build(session, self.garage.build, values, rev=rev, writer=self.writer, now=NOW)


DEEDS = (
    "capture",
    "mark",
    "describe",
    "relate",
    "exempt",
    "change_steps",
    "hang",
    "wait",
    "tools",
    "settings",
)


@given(st.data())
@settings(max_examples=25)
def test_any_folder_comes_back_from_its_lines(template: Path, data: st.DataObject) -> None:
    with fresh_garage(template) as garage:
        hands = Hands(garage, data.draw)
        for deed in data.draw(st.lists(st.sampled_from(DEEDS), min_size=1, max_size=14)):
            getattr(hands, deed)()
        before = rows_of(garage.database)

        assert rebuilt(garage.database) == before
