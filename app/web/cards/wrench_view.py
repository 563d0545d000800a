"""What to set on which wrench, stage by stage: the line beneath a fastener's torque."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy.orm import Session

from app.core.items.items import Fastener
from app.core.problem import Problem
from app.core.tightening.stages import TighteningStage, stages_of
from app.core.torque.text import show_torque
from app.core.torque.units import Quantity, TorqueUnit, converted, plain, sensible
from app.core.torque.values import Limit, Stage, StageKind, Torque
from app.core.torque.wrench_marks import READ_BETWEEN
from app.core.torque.wrenches import (
    Adapter,
    Setting,
    Wrench,
    WrenchType,
    setting_for,
    setting_text,
    settings_for,
)
from app.store.plan.wrenches import KeptAdapter, adapters, wrenches

_SHOWN_PERCENT = 0.05
_BAND_DIGITS = Decimal("1.00")


@dataclass(frozen=True, slots=True)
class StageLine:
    """What to take and to set for one stage.

    Args:
        wanted: The printed torque.
        name: The wrench to take; empty where none fits.
        value: What to set, with the digits of its scale.
        unit: The unit of its scale.
        remarks: Small derived remarks, or why none fits.
        others: The other wrenches that hold it, with their settings and what each is off by.
        setting: Value and unit in one line with the error of the mark and the tool's tolerance.
    """

    wanted: str
    name: str
    value: str
    unit: str
    remarks: tuple[str, ...]
    others: tuple[str, ...] = ()
    setting: str = ""


@dataclass(frozen=True, slots=True)
class WrenchLines:
    """What a card says about wrenches.

    Args:
        stages: One line for each torque stage, first to last; empty where there are no wrenches.
        adapters: The adapters to choose from.
        chosen: The id of the adapter that is on the wrench; empty for none.
        adapter: Its name.
        is_gone: Whether an adapter was asked for that is not there any more.
    """

    stages: tuple[StageLine, ...] = ()
    adapters: tuple[KeptAdapter, ...] = ()
    chosen: str = ""
    adapter: str = ""
    is_gone: bool = False


def owned_wrenches(session: Session) -> tuple[Wrench, ...]:
    """Return the user's wrenches."""
    return tuple(kept.wrench for kept in wrenches(session))


def wrench_lines(
    session: Session, group: Fastener, owned: Sequence[Wrench], chosen: str, today: date
) -> WrenchLines | None:
    """Return what a card says about wrenches, or nothing where its torque has no stage to set.

    Args:
        session: Of a read transaction.
        group: Its torque and passes.
        owned: The wrenches in the drawer.
        chosen: The id of the adapter on the wrench; empty for none.
        today: The day by which a check is overdue.
    """
    stages = stages_of(group)
    if not any(stage.printed.torque for stage in stages):
        return None
    if not owned:
        return WrenchLines()
    known = adapters(session)
    on_it = next((kept for kept in known if kept.id == chosen), None)
    adapter = on_it.adapter if on_it else None
    return WrenchLines(
        tuple(_line(stage, owned, adapter, today) for stage in stages),
        known,
        on_it.id if on_it else "",
        adapter.name if adapter else "",
        is_gone=bool(chosen) and on_it is None,
    )


def adapter_on(session: Session, chosen: str) -> Adapter | None:
    """Return the adapter of an id; `None` where it is not in the drawer."""
    return next((kept.adapter for kept in adapters(session) if kept.id == chosen), None)


def _line(stage: TighteningStage, owned: Sequence[Wrench], adapter: Adapter | None, today: date) -> StageLine:
    if stage.printed.torque:
        return stage_line(stage.printed.torque, owned, adapter, today, stage.printed.limit)
    if stage.printed.kind is not StageKind.ANGLE:
        return StageLine(stage.words, "", "", "", ())
    gauge = next((wrench.name for wrench in owned if wrench.type is WrenchType.ANGLE), "")
    how = (
        f"Turn with {gauge}." if gauge else "No angle gauge is in the drawer: paint marks on head and joint."
    )
    return StageLine(stage.words, "", "", "", (how,))


def row_setting(stage: TighteningStage | None, owned: Sequence[Wrench], today: date) -> str:
    """Return what to set for a stage in one line, with what it is off by; empty where nothing is to set.

    `Long click: set 85 N·m (+0.6 %, tool ±4 %)`.
    """
    found = _settings(stage.printed if stage else None, owned, today) if owned else ()
    if isinstance(found, Problem):
        return "no wrench in the drawer holds it"
    return f"{found[0].wrench.name}: set {setting_text(found[0])}" if found else ""


def _settings(printed: Stage | None, owned: Sequence[Wrench], today: date) -> tuple[Setting, ...] | Problem:
    """Return the settings for a printed stage, best first; none where it is no torque."""
    if printed is None or printed.torque is None:
        return ()
    return settings_for(printed.torque, owned, today, limit=printed.limit)


def stage_line(
    torque: Torque,
    owned: Sequence[Wrench],
    adapter: Adapter | None,
    today: date,
    limit: Limit = Limit.NONE,
) -> StageLine:
    """Return what to take and to set for one torque, each setting with what it is off by."""
    wanted = f"{limit} {show_torque(torque)}".strip()
    found = settings_for(torque, owned, today, adapter, limit)
    if isinstance(found, Problem):
        why = _why_not(torque, owned, adapter, today, limit) if adapter else ()
        return StageLine(
            wanted, "", "", "", (found.message, *(each for each in why if each not in found.message))
        )
    best = found[0]
    return StageLine(
        wanted,
        best.wrench.name,
        plain(best.shown.value),
        best.shown.unit.value,
        (_band(best, torque.unit), *_rounding(best), *best.remarks),
        tuple(f"{one.wrench.name}: {setting_text(one)}" for one in found[1:]),
        setting_text(best),
    )


def _why_not(
    torque: Torque, owned: Sequence[Wrench], adapter: Adapter, today: date, limit: Limit
) -> tuple[str, ...]:
    tried = [setting_for(torque, wrench, adapter, today, limit) for wrench in owned]
    reasons = [each.message for each in tried if isinstance(each, Problem)]
    return tuple(dict.fromkeys(reasons))


def _band(setting: Setting, unit: TorqueUnit) -> str:
    low, high = (_in_unit(end_nm, unit) for end_nm in setting.reached_nm)
    pointer = " and the reading of its pointer" if setting.wrench.type in READ_BETWEEN else ""
    return (
        f"Within ISO 6789{pointer} (±{setting.tolerance_percent:.2g} %) the bolt gets {low} to {high} {unit}."
    )


def _in_unit(torque_newton_metres: float, unit: TorqueUnit) -> str:
    exact = converted(Quantity(Decimal(torque_newton_metres), TorqueUnit.NEWTON_METRE), unit)
    return plain(sensible(exact.value, printed=_BAND_DIGITS))


def _rounding(setting: Setting) -> tuple[str, ...]:
    error = setting.error_percent
    if abs(error) < _SHOWN_PERCENT:
        return ()
    return (f"The nearest mark gives {abs(error):.1f} % {'more' if error > 0 else 'less'}.",)
