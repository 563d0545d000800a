"""The user's torque wrenches: which one holds a value, what to set, and how true that is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from math import cos, isfinite, radians

from app.core.problem import Problem
from app.core.torque.units import NEWTON_METRES, Quantity, TorqueUnit, converted, plain
from app.core.torque.values import Torque

FINE_UP_TO_NM = 10.0
CHECK_AGAIN_AFTER = timedelta(days=365)
"""ISO 6789 asks for a check every 12 months or 5,000 operations, from memory."""
HABIT_SHARE = 0.2
"""Below this share of full scale many workshops do not use a wrench. A workshop habit: ISO 6789-1:2017 starts
the range at the lowest marked value."""
_NO_ARM = 1e-9


class WrenchType(StrEnum):
    """How the wrench tells the torque."""

    CLICK = "click"
    BEAM = "beam"
    DIAL = "dial"
    ANGLE = "angle"


@dataclass(frozen=True, slots=True)
class Wrench:
    """One wrench in the drawer.

    Args:
        name: What the owner calls it.
        low: The lowest marked value, in `unit`, above 0.
        high: Full scale, in `unit`.
        unit: The unit of the scale.
        graduation: One step of the scale, in `unit`.
        type: How it tells the torque.
        lever_mm: From the middle of the square to the middle of the grip, [mm]; 0 where not measured.
        checked_on: When it was last checked; `None` if never.
    """

    name: str
    low: Decimal
    high: Decimal
    unit: TorqueUnit
    graduation: Decimal
    type: WrenchType = WrenchType.CLICK
    lever_mm: float = 0.0
    checked_on: date | None = None


@dataclass(frozen=True, slots=True)
class Adapter:
    """A crow-foot or other adapter on the square.

    Args:
        name: What the owner calls it.
        length_mm: From the middle of the square to the middle of the bolt, [mm].
        angle_deg: Between the line of the wrench and the adapter: 0 in line, 90 square, 180 backward, [°].
    """

    name: str
    length_mm: float
    angle_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Setting:
    """What to set on a wrench for a value.

    Args:
        wrench: The wrench.
        adapter: The adapter on it, if any.
        exact: What would be set on an endless scale, in the unit of the wrench.
        shown: The nearest mark.
        error_percent: What rounding to the mark adds to the torque at the bolt, [%].
        reached_nm: The torque at the bolt with the wrench within ISO 6789, [N·m], lowest and highest.
        remarks: What to tell with it.
    """

    wrench: Wrench
    adapter: Adapter | None
    exact: Quantity
    shown: Quantity
    error_percent: float
    reached_nm: tuple[float, float]
    remarks: tuple[str, ...] = ()


def wrench_problems(wrench: Wrench) -> tuple[Problem, ...]:
    """Return what is wrong with what was typed about a wrench, field by field; empty if nothing."""
    low, high, step = wrench.low, wrench.high, wrench.graduation
    found = [
        Problem(f"{field}-not-above-zero", f"The {word} must be a number above zero.", field)
        for field, word, value in (
            ("low", "lowest marked value", low),
            ("high", "full scale", high),
            ("graduation", "graduation", step),
        )
        if not value.is_finite() or value <= 0
    ]
    if not found and low >= high:
        found.append(Problem("range-upside-down", "The lowest marked value must be below full scale.", "low"))
    if not found and step > high - low:
        found.append(
            Problem("graduation-too-coarse", "The graduation is wider than the whole range.", "graduation")
        )
    if not isfinite(wrench.lever_mm) or wrench.lever_mm < 0:
        found.append(Problem("lever-below-zero", "The lever cannot be below zero.", "lever_mm"))
    return tuple(found)


def adapter_setting(wanted: float, lever: float, length: float, angle_deg: float = 0.0) -> float | Problem:
    """Return what to set on the wrench so that the wanted torque arrives at the bolt: T·L / (L + E·cos a).

    Args:
        wanted: Torque at the bolt, any unit, above 0.
        lever: L, from the square to the middle of the grip, any length unit, above 0.
        length: E, of the adapter, same unit; negative for one that points back along the handle.
        angle_deg: a, between the line of the wrench and the adapter, [°].

    Returns:
        The setting in the unit of `wanted`, or a `Problem` naming `wanted`, `lever`, `adapter` or `angle`.

    Source: US Army TM 9-254, figure 4-6 (L + E·cos a).
    """
    for field, value in (("wanted", wanted), ("lever", lever)):
        if not (isfinite(value) and value > 0):
            return Problem(f"{field}-not-above-zero", f"The {field} must be above zero.", field)
    for field, value in (("adapter", length), ("angle", angle_deg)):
        if not isfinite(value):
            return Problem(f"{field}-not-a-number", f"The {field} is not a number.", field)
    arm = lever + length * cos(radians(angle_deg))
    if arm <= lever * _NO_ARM:
        return Problem(
            "adapter-too-long-backward",
            "Pointing backward, the adapter reaches the grip or beyond it: no setting gives this torque.",
            "adapter",
        )
    return wanted * lever / arm


def iso6789_share(torque_nm: float) -> float:
    """Return the permissible deviation of a wrench at a torque, [-]: 0.06 up to 10 N·m, 0.04 above.

    Source: ISO 6789-1:2017, as quoted in a maker's manual for a wrench.
    """
    return 0.06 if torque_nm <= FINE_UP_TO_NM else 0.04


def iso6789_deviation_nm(torque_nm: float) -> float:
    """Return the permissible deviation of a wrench at a torque, [N·m]."""
    return torque_nm * iso6789_share(torque_nm)


def habit_floor(full_scale: float) -> float:
    """Return 20 % of full scale, in its unit: below it many workshops take a smaller wrench (a habit)."""
    return full_scale * HABIT_SHARE


def is_overdue(wrench: Wrench, today: date) -> bool:
    """Return whether a wrench was never checked, or not within 12 months."""
    return wrench.checked_on is None or today - wrench.checked_on > CHECK_AGAIN_AFTER


def setting_for(torque: Torque, wrench: Wrench, adapter: Adapter | None, today: date) -> Setting | Problem:
    """Return what to set on one wrench, rounded to its graduation.

    Returns:
        The setting, or a `Problem` naming the field: the wrench's own, `adapter`, or `wrench` where the
        setting is outside its range or the wrench only measures angles.
    """
    problems = wrench_problems(wrench)
    if problems:
        return problems[0]
    if wrench.type is WrenchType.ANGLE:
        return Problem("wrench-measures-angles", f"{wrench.name} measures angles, not torque.", "wrench")
    factor = _adapter_factor(wrench, adapter)
    if isinstance(factor, Problem):
        return factor
    exact = converted(torque.target, wrench.unit).value * Decimal(factor)
    if not wrench.low <= exact <= wrench.high:
        return Problem("wrench-out-of-range", _out_of_range(exact, wrench), "wrench")
    shown = _nearest_mark(exact, wrench)
    at_bolt_nm = float(shown * NEWTON_METRES[wrench.unit]) / factor
    set_nm = float(shown * NEWTON_METRES[wrench.unit])
    share = iso6789_share(set_nm)
    return Setting(
        wrench,
        adapter,
        Quantity(exact, wrench.unit),
        Quantity(shown, wrench.unit),
        100 * float((shown - exact) / exact),
        (at_bolt_nm * (1 - share), at_bolt_nm * (1 + share)),
        _remarks(torque, wrench, shown, at_bolt_nm, today),
    )


def _adapter_factor(wrench: Wrench, adapter: Adapter | None) -> float | Problem:
    if adapter is None:
        return 1.0
    if not wrench.lever_mm:
        return Problem(
            "lever-missing", f"Measure the lever of {wrench.name} to use an adapter on it.", "lever_mm"
        )
    return adapter_setting(1.0, wrench.lever_mm, adapter.length_mm, adapter.angle_deg)


def _nearest_mark(exact: Decimal, wrench: Wrench) -> Decimal:
    steps = ((exact - wrench.low) / wrench.graduation).quantize(Decimal(1), ROUND_HALF_EVEN)
    steps = min(steps, (wrench.high - wrench.low) // wrench.graduation)
    return wrench.low + steps * wrench.graduation


def _out_of_range(exact: Decimal, wrench: Wrench) -> str:
    return (
        f"{float(exact):.4g} {wrench.unit} is outside {wrench.name}: "
        f"{plain(wrench.low)} to {plain(wrench.high)} {wrench.unit}."
    )


def _remarks(
    torque: Torque, wrench: Wrench, shown: Decimal, at_bolt_nm: float, today: date
) -> tuple[str, ...]:
    remarks = []
    if float(shown) < habit_floor(float(wrench.high)):
        remarks.append(
            "Below 20 % of full scale; many workshops take a smaller wrench (a habit, not a rule)."
        )
    if torque.low_nm < torque.high_nm and not torque.low_nm <= at_bolt_nm <= torque.high_nm:
        remarks.append("The nearest mark is outside the printed range.")
    if wrench.checked_on is None:
        remarks.append("This wrench has never been checked.")
    elif is_overdue(wrench, today):
        remarks.append(f"Last checked on {wrench.checked_on.isoformat()}, more than 12 months ago.")
    return tuple(remarks)


def settings_for(
    torque: Torque, wrenches: Sequence[Wrench], today: date, adapter: Adapter | None = None
) -> tuple[Setting, ...] | Problem:
    """Return the settings of all wrenches that hold a value, best first; a `Problem` where none does.

    Best is: at or above 20 % of full scale, checked within 12 months, the least rounding error.
    """
    found = [setting_for(torque, wrench, adapter, today) for wrench in wrenches]
    settings = sorted(
        (setting for setting in found if isinstance(setting, Setting)), key=lambda one: _rank(one, today)
    )
    if settings:
        return tuple(settings)
    return Problem("no-wrench", _none_fits(torque, wrenches), "wrench")


def _rank(setting: Setting, today: date) -> tuple[bool, bool, float]:
    wrench = setting.wrench
    below = float(setting.shown.value) < habit_floor(float(wrench.high))
    return below, is_overdue(wrench, today), abs(setting.error_percent)


def _none_fits(torque: Torque, wrenches: Sequence[Wrench]) -> str:
    value = f"{plain(torque.target.value)} {torque.unit}"
    if not wrenches:
        return f"No wrench is entered yet: enter one that holds {value}."
    return f"None of your {len(wrenches)} wrenches holds {value}. Borrow one whose range does."
