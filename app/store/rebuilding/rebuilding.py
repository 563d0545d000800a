"""Drop what follows from the journal, and fill it again from its lines: the record alone suffices."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from sqlalchemy import Table, delete, insert, select, text
from sqlalchemy.orm import Session

from app.core.consistency.times import times_of
from app.core.items.bodies.papers import AddPhoto, AddSheet, EditTag, GivePhoto, GiveTag, ToolFields, VoidTag
from app.core.items.bodies.plan import AddPlace, BuildFields, EditFolder, StepFields
from app.core.items.bodies.things import ItemFields, OutstandingFields
from app.core.items.journal import History, Line
from app.core.items.state import Register, fold, register
from app.core.ledger.ledger import work_act
from app.store.db.models import Base, JournalRow
from app.store.journal import as_line, item_behind, store_state
from app.store.rebuilding.papers import (
    ADAPTER_FIELDS,
    WRENCH_FIELDS,
    tell_outstanding,
    tell_photo,
    tell_sheet,
    tell_tag,
    tell_tool,
)
from app.store.rebuilding.plan import tell_build, tell_item, tell_place, tell_step
from app.store.rebuilding.tables import Row, Tables, Told

DERIVED = (
    *("build", "zone", "step", "step_edge", "item", "edge", "install_exception", "place"),
    *("goes_after", "side_exception"),
    *("sheet", "tag", "photo", "shows", "outstanding", "wrench", "adapter"),
)
"""The tables that follow from the journal, what others name first; `item_state` follows from them too."""

KEPT = (*("folder", "person", "device", "pairing", "receipt", "quarantine", "printed_address", "journal"),)
"""What no line says: who this folder is, who was let in, what was answered, where tags point."""


def rebuild(session: Session) -> None:
    """Drop every table that follows from the journal and fill it again from the lines.

    Args:
        session: Of a unit of work: all of it happens, or nothing.
    """
    rows = session.scalars(select(JournalRow).order_by(JournalRow.seq))
    told = [Told(as_line(row), row.build_id or "", row.server_at) for row in rows]
    tables = tables_of(told)
    by_subject: dict[str, list[Line]] = defaultdict(list)
    for each in told:
        by_subject[each.line.subject].append(each.line)
    for place_id, place in tables.place.items():
        stands = register(History(by_subject[f"place:{place_id}"]), "place", Register())
        place["parent_id"] = stands.value or None
    with _unguarded(session, "tag"):
        session.execute(delete(_table("item_state")))
        for name in reversed(DERIVED):
            session.execute(delete(_table(name)))
        session.expire_all()
        for name in DERIVED:
            _fill(session, name, getattr(tables, name).values())
    _fill(session, "item_state", _states(session, told, by_subject))
    session.expire_all()


@contextmanager
def _unguarded(session: Session, table: str) -> Iterator[None]:
    """Lift the triggers of a table, in this transaction only, and set them again."""
    known = text("SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = :table")
    triggers = session.execute(known, {"table": table}).all()
    for name, _ in triggers:
        session.connection().exec_driver_sql(f'DROP TRIGGER "{name}"')
    yield
    for _, sql in triggers:
        session.connection().exec_driver_sql(sql)


def tables_of(told: Iterable[Told]) -> Tables:
    """Return the rows that follow from the lines of a journal, oldest first.

    A line that says that what follows is all that there is makes those before it spent.
    """
    tables = Tables()
    for each in told:
        if isinstance(each.line.record, EditFolder) and each.line.record.afresh:
            tables = Tables()
        else:
            _tell(tables, each)
    return tables


def _tell(tables: Tables, told: Told) -> None:
    match told.line.record:
        case BuildFields() as said:
            tell_build(tables, told, said)
        case StepFields() as said:
            tell_step(tables, told, said)
        case ItemFields() as said:
            tell_item(tables, told, said)
        case AddPlace() as said:
            tell_place(tables, told, said)
        case OutstandingFields() as said:
            tell_outstanding(tables, told, said)
        case _:
            _tell_paper(tables, told)


def _tell_paper(tables: Tables, told: Told) -> None:
    is_wrench = told.line.subject.startswith("wrench:")
    match told.line.record:
        case AddSheet() as said:
            tell_sheet(tables, told, said)
        case GiveTag() | VoidTag() | EditTag() as said:
            tell_tag(tables, told, said)
        case AddPhoto() | GivePhoto() as said:
            tell_photo(tables, told, said)
        case ToolFields() as said if is_wrench:
            tell_tool(tables.wrench, told, said, WRENCH_FIELDS)
        case ToolFields() as said:
            tell_tool(tables.adapter, told, said, ADAPTER_FIELDS)


def _states(session: Session, told: Iterable[Told], by_subject: dict[str, list[Line]]) -> Iterable[Row]:
    """Return the states of all things that have lines, in the order of their first ones."""
    builds = {each.line.subject: each.build_id for each in told if each.build_id}
    for subject, lines in by_subject.items():
        item = item_behind(session, subject) if subject.startswith(("item:", "step:")) else None
        if item is not None and subject in builds:
            state = fold(item.kind, item.positions, lines, work=work_act(item))
            yield {
                "subject": subject,
                "build_id": builds[subject],
                "state": store_state(state, times_of(item, lines)),
                "upto_seq": state.last_seq,
            }


def _table(name: str) -> Table:
    return Base.metadata.tables[name]


def _fill(session: Session, name: str, rows: Iterable[Row]) -> None:
    """Write rows of a table."""
    if values := list(rows):
        session.execute(insert(_table(name)), values)
    session.flush()
