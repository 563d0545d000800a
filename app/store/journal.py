"""The journal's side of the database: a line is added, its subject folded again, all in one transaction."""

import json
from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import StepFacts
from app.core.consistency.times import NO_TIMES, Times, times_of
from app.core.items.amounts import Amounts
from app.core.items.items import Item, read_detail
from app.core.items.journal import History, Line
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Way
from app.core.items.state import Acknowledged, Confirmed, ItemState, PositionState, Register, fold, register
from app.core.items.step_names import step_name
from app.core.ledger.ledger import work_act
from app.store.db.models import ItemRow, ItemStateRow, JournalRow, Place, Step

_ACTS = {act.value: act for act in Act}
FOLD = 7
"""The form of stored states. A state that another program folded is folded again when the folder opens: since
this one, with the round of the engine in which each second look was taken."""


def last_seq(session: Session) -> int:
    """Return the number of the newest line: the version of everything, since every change writes a line."""
    return session.scalar(select(func.max(JournalRow.seq))) or 0


def lines_of(session: Session, subject: str, *, newest: int | None = None) -> list[Line]:
    """Return the lines of one subject, oldest first: all, or only the newest few."""
    query = (
        select(JournalRow).where(JournalRow.subject == subject).order_by(JournalRow.seq.desc()).limit(newest)
    )
    return [as_line(row) for row in session.scalars(query)][::-1]


def written_at(session: Session, lines: Collection[str]) -> dict[str, str]:
    """Return when each of some lines was written, by its id: by the writer's clock, else the server's."""
    query = select(JournalRow).where(JournalRow.id.in_(set(lines)))
    return {row.id: row.phone_at or row.server_at for row in session.scalars(query)}


def as_line(row: JournalRow) -> Line:
    """Return a stored row as a line."""
    return Line(
        row.id,
        row.subject,
        row.verb,
        row.body,
        frozenset(row.after),
        row.person,
        row.device,
        row.seq,
        row.phone_at or row.server_at,
    )


def append(session: Session, line: Line, *, build_id: str | None, now: str) -> JournalRow:
    """Add a line and fold its subject again.

    Args:
        session: Of a unit of work.
        line: Its `seq` is passed over; the database gives one.
        build_id: The build it belongs to; `None` for lines about the folder or the crew.
        now: The server's time, ISO 8601 UTC.
    """
    row = JournalRow(
        id=line.id,
        build_id=build_id,
        subject=line.subject,
        verb=line.verb,
        body=dict(line.body),
        v=line.record.VERSION,
        after=sorted(line.after),
        device=line.device,
        person=line.person,
        phone_at=line.at,
        server_at=now,
    )
    session.add(row)
    session.flush()
    if line.subject.startswith(("item:", "step:")) and build_id:
        refold(session, line.subject, build_id)
    elif line.subject.startswith("place:"):
        _refold_place(session, line.subject)
    return row


def _refold_place(session: Session, subject: str) -> None:
    """Write down where a place stands now: nowhere, where phones disagree."""
    place = session.get(Place, subject.partition(":")[2])
    if place:
        where = register(History(lines_of(session, subject)), "place", Register())
        place.parent_id = where.value or None


def refold(session: Session, subject: str, build_id: str) -> ItemState | None:
    """Fold a subject's lines and write the state beside it; `None` where the item itself is not here yet."""
    session.flush()
    item = item_behind(session, subject)
    if item is None:
        return None
    lines = lines_of(session, subject)
    state = fold(item.kind, item.positions, lines, work=work_act(item))
    row = session.get(ItemStateRow, subject)
    if row is None:
        row = ItemStateRow(subject=subject, build_id=build_id, state={}, upto_seq=0)
        session.add(row)
    row.state = store_state(state, times_of(item, lines))
    row.upto_seq = state.last_seq
    return state


def item_behind(session: Session, subject: str) -> Item | None:
    """Return the item, or the step as a line of the ledger, that a subject names."""
    subject_type, _, subject_id = subject.partition(":")
    if subject_type == "step":
        step = session.get(Step, subject_id)
        return step_as_item(step) if step else None
    row = session.get(ItemRow, subject_id)
    return as_item(row) if row else None


def as_item(row: ItemRow) -> Item:
    """Return a stored item as the ledger knows it."""
    kind = Kind(row.kind)
    return Item(
        row.id,
        row.number,
        kind,
        row.name,
        row.step_id or "",
        row.zone_id or "",
        row.n,
        row.critical,
        row.owner,
        row.note,
        read_detail(kind, row.detail),
        row.was_critical,
        row.system,
        row.listed_as,
        row.critical_as,
    )


def step_as_item(step: Step | StepFacts) -> Item:
    """Return a step that exists on one way only as a line of the ledger."""
    return Item(step.id, 0, Kind.STEP, step_name(step, Way.BACK), step.id)


def store_state(state: ItemState, times: Times) -> dict[str, Any]:
    """Return a state, with the times of its marks, in the form in which it is stored."""
    stored = {**_fields(state), "times": times, "fold": FOLD}
    return json.loads(json.dumps(stored, default=_fields))  # type: ignore[no-any-return] # a dict


def _fields(record: Any) -> dict[str, Any]:
    """Return a record's fields; `asdict` copies all that is in them, which a long list feels."""
    return {name: getattr(record, name) for name in record.__slots__}


def read_state(stored: dict[str, Any]) -> ItemState:
    """Return a state from the form in which it is stored."""
    return ItemState(
        positions=tuple(_read_position(position) for position in stored["positions"]),
        destiny=_read_register(stored["destiny"]),
        fate=_read_register(stored["fate"]),
        place=_read_register(stored["place"]),
        lengths=_read_register(stored["lengths"]),
        acknowledged=tuple(Acknowledged(**each) for each in stored["acknowledged"]),
        confirmed=tuple(Confirmed(**each) for each in stored["confirmed"]),
        tips=tuple(stored["tips"]),
        pending=tuple(stored["pending"]),
        off_seq=stored["off_seq"],
        round=stored["round"],
        last_seq=stored["last_seq"],
        amounts=Amounts(**stored["amounts"]),
    )


def read_times(stored: Mapping[str, Any]) -> Times:
    """Return the times of a thing's marks from a stored state; none where another program folded it."""
    said = stored.get("times")
    if not said:
        return NO_TIMES
    values: dict[str, Any] = {n: tuple(v) if isinstance(v, list) else v for n, v in said.items()}
    return Times(**values)


def _read_position(stored: dict[str, Any]) -> PositionState:
    values = stored | {"lines": tuple(stored["lines"])}
    if values["act"] is not None:
        values["act"] = _ACTS[values["act"]]
    return PositionState(**values)


def _read_register(stored: dict[str, Any]) -> Register:
    if not stored["lines"]:
        return _unsaid(stored["value"], stored["reason"], stored["disagree"])
    return Register(**(stored | {"lines": tuple(stored["lines"])}))


@lru_cache(maxsize=64)
def _unsaid(value: str, reason: str, disagree: bool) -> Register:
    """Return a value that no line speaks of: one object for all the things of a build that have it."""
    return Register(value, reason, (), disagree)


def refold_outdated(session: Session) -> int:
    """Fold again what another program folded, and return how many states that were."""
    other = select(ItemStateRow).where(ItemStateRow.state["fold"].as_integer().is_distinct_from(FOLD))
    rows = session.scalars(other).all()
    for row in rows:
        refold(session, row.subject, row.build_id)
    return len(rows)


def newest(session: Session, build_id: str, *, limit: int, verbs: Iterable[str] = ()) -> list[Line]:
    """Return the newest lines of a build, newest first."""
    query = select(JournalRow).where(JournalRow.build_id == build_id)
    if wanted := tuple(verbs):
        query = query.where(JournalRow.verb.in_(wanted))
    return [as_line(row) for row in session.scalars(query.order_by(JournalRow.seq.desc()).limit(limit))]


def last_added(session: Session, build_id: str, device: str) -> str:
    """Return the item that a device wrote down last in a build; empty where it wrote down none."""
    return next((line.subject.partition(":")[2] for line in newest_added(session, build_id, device, 1)), "")


def newest_added(session: Session, build_id: str, device: str, limit: int) -> list[Line]:
    """Return the lines by which a device wrote down its last items in a build, newest first."""
    query = (
        select(JournalRow)
        .where(
            JournalRow.device == device,
            JournalRow.verb == "add",
            JournalRow.build_id == build_id,
            JournalRow.subject.startswith("item:"),
        )
        .order_by(JournalRow.seq.desc())
        .limit(limit)
    )
    return [as_line(row) for row in session.scalars(query)]
