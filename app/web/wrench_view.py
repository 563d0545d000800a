"""What to set on which wrench, stage by stage: the line beneath a fastener's torque."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy.orm import Session

from app.core.problem import Problem
from app.core.torque_text import parse_torque, show_torque
from app.core.torque_units import Quantity, TorqueUnit, converted, plain, sensible, torque_nm
from app.core.torque_values import Torque
from app.core.wrenches import Adapter, Setting, Wrench, iso6789_share, setting_for, settings_for
from app.store.wrenches import KeptAdapter, adapters, wrenches

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
        others: The other wrenches that hold it, with their settings.
    """

    wanted: str
    name: str
    value: str
    unit: str
    remarks: tuple[str, ...]
    others: tuple[str, ...] = ()


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


def wrench_lines(session: Session, text: str, chosen: str, today: date) -> WrenchLines | None:
    """Return what a card says about wrenches, or nothing where its torque has no stage to set.

    Args:
        session: Of a read transaction.
        text: The printed torque.
        chosen: The id of the adapter on the wrench; empty for none.
        today: The day by which a check is overdue.
    """
    spec = parse_torque(text) if text else None
    if spec is None or isinstance(spec, Problem):
        return None
    torques = [stage.torque for stage in spec.stages if stage.torque and not stage.check]
    if not torques:
        return None
    drawer = [kept.wrench for kept in wrenches(session)]
    if not drawer:
        return WrenchLines()
    known = adapters(session)
    on_it = next((kept for kept in known if kept.id == chosen), None)
    adapter = on_it.adapter if on_it else None
    return WrenchLines(
        tuple(stage_line(torque, drawer, adapter, today) for torque in torques),
        known,
        on_it.id if on_it else "",
        adapter.name if adapter else "",
        is_gone=bool(chosen) and on_it is None,
    )


def stage_line(torque: Torque, drawer: Sequence[Wrench], adapter: Adapter | None, today: date) -> StageLine:
    """Return what to take and to set for one torque."""
    found = settings_for(torque, drawer, today, adapter)
    if isinstance(found, Problem):
        why = _why_not(torque, drawer, adapter, today) if adapter else ()
        return StageLine(show_torque(torque), "", "", "", (found.message, *why))
    best = found[0]
    others = tuple(f"{one.wrench.name}: {plain(one.shown.value)} {one.shown.unit}" for one in found[1:])
    return StageLine(
        show_torque(torque),
        best.wrench.name,
        plain(best.shown.value),
        best.shown.unit.value,
        (_band(best, torque.unit), *_rounding(best), *best.remarks),
        others,
    )


def _why_not(torque: Torque, drawer: Sequence[Wrench], adapter: Adapter, today: date) -> tuple[str, ...]:
    tried = [setting_for(torque, wrench, adapter, today) for wrench in drawer]
    reasons = [each.message for each in tried if isinstance(each, Problem)]
    return tuple(dict.fromkeys(reasons))


def _band(setting: Setting, unit: TorqueUnit) -> str:
    percent = 100 * iso6789_share(torque_nm(setting.shown))
    low, high = (_in_unit(end_nm, unit) for end_nm in setting.reached_nm)
    return f"Within ISO 6789 (±{percent:.0f} %) the bolt gets {low} to {high} {unit}."


def _in_unit(torque_newton_metres: float, unit: TorqueUnit) -> str:
    exact = converted(Quantity(Decimal(torque_newton_metres), TorqueUnit.NEWTON_METRE), unit)
    return plain(sensible(exact.value, printed=_BAND_DIGITS))


def _rounding(setting: Setting) -> tuple[str, ...]:
    error = setting.error_percent
    if abs(error) < _SHOWN_PERCENT:
        return ()
    return (f"The nearest mark gives {abs(error):.1f} % {'more' if error > 0 else 'less'}.",)
