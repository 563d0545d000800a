"""The torque wrenches and adapters of the folder: read for every build, written with a line each."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal
from math import isfinite
from typing import Any, TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.items.bodies.base import Body
from app.core.items.bodies.papers import AddTool, EditTool
from app.core.problem import STALE, Problem
from app.core.torque.units import Quantity, TorqueUnit, torque_nm
from app.core.torque.wrenches import Adapter, Wrench, WrenchType, adapter_setting, wrench_problems
from app.store.db.clock import new_id
from app.store.db.models import AdapterRow, WrenchRow
from app.store.journal import append
from app.store.plan.builds import Writer

R = TypeVar("R", WrenchRow, AdapterRow)
HIGHEST_NM = 5_000.0
LONGEST_LEVER_MM = 3_000.0
LONGEST_ADAPTER_MM = 1_000.0
SHARPEST_DEG = 180.0
GONE = Problem("gone", "Somebody else removed this meanwhile. What you typed is kept below.")


@dataclass(frozen=True, slots=True)
class KeptWrench:
    """A stored wrench.

    Args:
        id: 32 hexadecimal digits.
        rev: Counts its changes.
        wrench: What is known of it.
    """

    id: str
    rev: int
    wrench: Wrench


@dataclass(frozen=True, slots=True)
class KeptAdapter:
    """A stored adapter.

    Args:
        id: 32 hexadecimal digits.
        rev: Counts its changes.
        adapter: What is known of it.
    """

    id: str
    rev: int
    adapter: Adapter


@dataclass(frozen=True, slots=True)
class Edit:
    """Which row is written, by whom and when.

    Args:
        writer: Who writes.
        now: The server's time, ISO 8601 UTC.
        of: The id of the row to change; empty for a new one.
        rev: The row's count as the page showed it.
    """

    writer: Writer
    now: str
    of: str = ""
    rev: int = 0


def wrenches(session: Session) -> tuple[KeptWrench, ...]:
    """Return all wrenches by name, in one query."""
    rows = session.scalars(select(WrenchRow).order_by(WrenchRow.name))
    return tuple(KeptWrench(row.id, row.rev, _wrench(row)) for row in rows)


def _wrench(row: WrenchRow) -> Wrench:
    return Wrench(
        row.name,
        Decimal(row.low),
        Decimal(row.high),
        TorqueUnit(row.unit),
        Decimal(row.graduation),
        WrenchType(row.type),
        row.lever_mm,
        date.fromisoformat(row.checked_at) if row.checked_at else None,
    )


def adapters(session: Session) -> tuple[KeptAdapter, ...]:
    """Return all adapters by name, in one query."""
    rows = session.scalars(select(AdapterRow).order_by(AdapterRow.name))
    return tuple(
        KeptAdapter(row.id, row.rev, Adapter(row.name, row.length_mm, row.angle_deg)) for row in rows
    )


def save_wrench(session: Session, wrench: Wrench, change: Edit, *, today: date) -> tuple[Problem, ...]:
    """Write a wrench, new or known, unless something about it is wrong.

    Returns:
        What is wrong, field by field: `name`, `low`, `high`, `graduation`, `lever_mm` or `checked_on`; none
        named where the row is gone or was changed by somebody else. Nothing is written then.
    """
    found = [*wrench_problems(wrench), *_beyond(wrench)]
    if wrench.checked_on and wrench.checked_on > today:
        found.append(Problem("checked-in-future", "The day of the last check is yet to come.", "checked_on"))
    if _is_taken(session, WrenchRow, wrench.name, change.of):
        found.append(Problem("name-taken", "Another wrench has this name.", "name"))
    if found:
        return tuple(found)
    values = {
        "name": wrench.name,
        "low": f"{wrench.low:f}",
        "high": f"{wrench.high:f}",
        "unit": wrench.unit.value,
        "graduation": f"{wrench.graduation:f}",
        "type": wrench.type.value,
        "lever_mm": wrench.lever_mm,
        "checked_at": wrench.checked_on.isoformat() if wrench.checked_on else None,
    }
    return _write(session, WrenchRow, values, change)


def _beyond(wrench: Wrench) -> list[Problem]:
    """Name what no wrench for two hands has; the limits are a rule of the product."""
    found = []
    if wrench.high.is_finite() and torque_nm(Quantity(wrench.high, wrench.unit)) > HIGHEST_NM:
        found.append(
            Problem(
                "high-beyond",
                f"Full scale is above {HIGHEST_NM:.0f} N·m: look at number and unit again.",
                "high",
            )
        )
    if wrench.lever_mm > LONGEST_LEVER_MM:
        found.append(
            Problem(
                "lever-beyond",
                f"The lever is longer than {LONGEST_LEVER_MM:.0f} mm: look again.",
                "lever_mm",
            )
        )
    return found


def save_adapter(session: Session, adapter: Adapter, change: Edit) -> tuple[Problem, ...]:
    """Write an adapter, new or known, unless something about it is wrong.

    Returns:
        What is wrong, field by field: `name`, `length_mm` or `angle_deg`; none named where the row is gone or
        was changed by somebody else. Nothing is written then.
    """
    found = list(adapter_problems(adapter, [kept.wrench for kept in wrenches(session)]))
    if _is_taken(session, AdapterRow, adapter.name, change.of):
        found.append(Problem("name-taken", "Another adapter has this name.", "name"))
    return tuple(found) if found else _write(session, AdapterRow, asdict(adapter), change)


def adapter_problems(adapter: Adapter, owned: Sequence[Wrench]) -> tuple[Problem, ...]:
    """Return what is wrong with an adapter: alone, or because it reaches the grip of every wrench."""
    length, angle = adapter.length_mm, adapter.angle_deg
    found = []
    if not (isfinite(length) and 0 < length <= LONGEST_ADAPTER_MM):
        found.append(
            Problem(
                "length-out-of-range",
                f"The length must be above zero and at most {LONGEST_ADAPTER_MM:.0f} mm.",
                "length_mm",
            )
        )
    if not (isfinite(angle) and 0 <= angle <= SHARPEST_DEG):
        found.append(
            Problem("angle-out-of-range", "The angle must be from 0 to 180 degrees.", "angle_deg"),
        )
    levers = [wrench.lever_mm for wrench in owned if wrench.lever_mm]
    if found or not levers:
        return tuple(found)
    settings = [adapter_setting(1.0, lever, length, angle) for lever in levers]
    singular = [each for each in settings if isinstance(each, Problem)]
    if len(singular) < len(settings):
        return ()
    return (Problem(singular[0].code, singular[0].message, "length_mm"),)


def _is_taken(session: Session, table: type[R], name: str, by_other_than: str) -> bool:
    query = select(table.id).where(table.name == name, table.id != by_other_than)
    return session.scalars(query).first() is not None


def _write(session: Session, table: type[R], values: dict[str, Any], change: Edit) -> tuple[Problem, ...]:
    row = session.get(table, change.of) if change.of else table(id=new_id(), rev=0)
    if row is None:
        return (GONE,)
    if row.rev != change.rev:
        return (STALE,)
    for key, value in values.items():
        setattr(row, key, value)
    row.rev += 1
    session.add(row)
    session.flush()
    _write_line(session, row, (EditTool if change.of else AddTool)(**values, rev=row.rev), change)
    return ()


def remove(session: Session, table: type[R], change: Edit) -> str:
    """Remove a wrench or an adapter and return its name; empty where it is gone already."""
    row = session.get(table, change.of)
    if row is None:
        return ""
    session.delete(row)
    session.flush()
    _write_line(session, row, EditTool(deleted=row.name), change)
    return row.name


def _write_line(session: Session, row: WrenchRow | AdapterRow, said: Body, change: Edit) -> None:
    line = change.writer.say(f"{row.__tablename__}:{row.id}", said)
    append(session, line, build_id=None, now=change.now)
