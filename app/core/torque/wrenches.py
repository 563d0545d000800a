"""The user's torque wrenches: which one holds a value, what to set, and how true that is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import isfinite

from app.core.problem import Problem
from app.core.torque.text import show_torque
from app.core.torque.units import (
    NEWTON_METRES,
    Quantity,
    TorqueUnit,
    converted,
    plain,
)
from app.core.torque.values import Limit, Torque
from app.core.torque.wrench_adapter import Adapter, adapter_setting
from app.core.torque.wrench_classes import (
    FINE_UP_TO_NM,
    WrenchType,
    check_is_overdue,
    check_words,
    iso6789_deviation_nm,
    iso6789_share,
)
from app.core.torque.wrench_marks import (
    READ_BETWEEN,
    Aim,
    Scale,
    aim_of,
    mark_for,
)

__all__ = [
    "Adapter",
    "Setting",
    "Wrench",
    "WrenchType",
    "adapter_setting",
    "habit_floor",
    "is_overdue",
    "iso6789_deviation_nm",
    "iso6789_share",
    "setting_for",
    "setting_text",
    "settings_for",
    "wrench_problems",
]
_SHOWN_PERCENT = 0.05
HABIT_SHARE = 0.2
"""Below this share of full scale many workshops do not use a wrench. A workshop habit: ISO 6789-1:2017 starts
the range at the lowest marked value."""


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
        tolerance_percent: How true the tool itself is at this setting, [%], with the reading of its pointer.
    """

    wrench: Wrench
    adapter: Adapter | None
    exact: Quantity
    shown: Quantity
    error_percent: float
    reached_nm: tuple[float, float]
    remarks: tuple[str, ...] = ()
    tolerance_percent: float = 0.0


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


def habit_floor(full_scale: float) -> float:
    """Return 20 % of full scale, in its unit: below it many workshops take a smaller wrench (a habit)."""
    return full_scale * HABIT_SHARE


def is_overdue(wrench: Wrench, today: date) -> bool:
    """Return whether a wrench was never checked, or not within 12 months."""
    return check_is_overdue(wrench.checked_on, today)


def setting_for(
    torque: Torque, wrench: Wrench, adapter: Adapter | None, today: date, limit: Limit = Limit.NONE
) -> Setting | Problem:
    """Return what to set on one wrench: a mark that meets the print, its error said.

    Args:
        torque: The printed torque.
        wrench: The wrench.
        adapter: What is on its square, if anything.
        today: The day by which a check is overdue.
        limit: Whether the print is a least or a most.

    Returns:
        The setting, or a `Problem` naming the field: the wrench's own, `adapter`, or `wrench` where the
        setting is outside its range, no mark is near enough, or the wrench only measures angles.
    """
    problems = wrench_problems(wrench)
    if problems:
        return problems[0]
    if wrench.type is WrenchType.ANGLE:
        return Problem("wrench-measures-angles", f"{wrench.name} measures angles, not torque.", "wrench")
    factor = _adapter_factor(wrench, adapter)
    if isinstance(factor, Problem):
        return factor
    aim = aim_of(torque, limit)
    exact = Decimal(factor) * _aimed(torque, aim, limit, wrench)
    scale = Scale(wrench.low, wrench.high, wrench.graduation, wrench.unit, wrench.type)
    if not wrench.low <= exact <= wrench.high:
        return Problem("wrench-out-of-range", _out_of_range(exact, wrench), "wrench")
    found = mark_for(scale, aim, factor)
    if found is None:
        return Problem("no-mark", _no_mark(exact, wrench, aim), "wrench")
    shown, is_safe = found
    at_bolt_nm = float(shown * NEWTON_METRES[wrench.unit]) / factor
    share = float(scale.share_at(shown))
    return Setting(
        wrench,
        adapter,
        Quantity(exact, wrench.unit),
        Quantity(shown, wrench.unit),
        100 * float((shown - exact) / exact),
        (at_bolt_nm * (1 - share), at_bolt_nm * (1 + share)),
        _remarks(wrench, shown, today, is_safe=is_safe),
        100 * share,
    )


def _aimed(torque: Torque, aim: Aim, limit: Limit, wrench: Wrench) -> Decimal:
    if limit is Limit.NONE:
        return converted(torque.target, wrench.unit).value
    return Decimal(aim.target) / NEWTON_METRES[wrench.unit]


def setting_text(setting: Setting) -> str:
    """Return a setting in one line with its error and the tool's tolerance: `85 N·m (+0.6 %, tool ±4 %)`."""
    error = setting.error_percent
    off = "exact" if abs(error) < _SHOWN_PERCENT else f"{error:+.1f} %"
    value = f"{plain(setting.shown.value)} {setting.shown.unit}"
    return f"{value} ({off}, tool ±{setting.tolerance_percent:.2g} %)"


def _adapter_factor(wrench: Wrench, adapter: Adapter | None) -> float | Problem:
    if adapter is None:
        return 1.0
    if not wrench.lever_mm:
        return Problem(
            "lever-missing", f"Measure the lever of {wrench.name} to use an adapter on it.", "lever_mm"
        )
    return adapter_setting(1.0, wrench.lever_mm, adapter.length_mm, adapter.angle_deg)


def _out_of_range(exact: Decimal, wrench: Wrench) -> str:
    return (
        f"{float(exact):.4g} {wrench.unit} is outside {wrench.name}: "
        f"{plain(wrench.low)} to {plain(wrench.high)} {wrench.unit}."
    )


def _no_mark(exact: Decimal, wrench: Wrench, aim: Aim) -> str:
    near = (
        f"4 % (6 % at {FINE_UP_TO_NM:.0f} N·m and below) of" if aim.is_single else "the printed range around"
    )
    return (
        f"No mark of {wrench.name} is within {near} {float(exact):.4g} {wrench.unit}: its marks are "
        f"{plain(wrench.graduation)} {wrench.unit} apart."
    )


def _remarks(wrench: Wrench, shown: Decimal, today: date, *, is_safe: bool) -> tuple[str, ...]:
    remarks = []
    if float(shown) < habit_floor(float(wrench.high)):
        remarks.append(
            "Below 20 % of full scale; many workshops take a smaller wrench (a habit, not a rule)."
        )
    if not is_safe:
        remarks.append("The printed range is narrower than the wrench is true: the bolt may end outside it.")
    if wrench.type in READ_BETWEEN:
        remarks.append("Read it between the marks, to half a graduation.")
    overdue = check_words(wrench.checked_on, today)
    return (*remarks, *((overdue,) if overdue else ()))


def settings_for(
    torque: Torque,
    wrenches: Sequence[Wrench],
    today: date,
    adapter: Adapter | None = None,
    limit: Limit = Limit.NONE,
) -> tuple[Setting, ...] | Problem:
    """Return the settings of all wrenches that meet a value, best first; a `Problem` where none does.

    Best is: at or above 20 % of full scale, checked within 12 months, the least rounding error.
    """
    found = [setting_for(torque, wrench, adapter, today, limit) for wrench in wrenches]
    settings = sorted(
        (setting for setting in found if isinstance(setting, Setting)), key=lambda one: _rank(one, today)
    )
    if settings:
        return tuple(settings)
    coarse = [one.message for one in found if isinstance(one, Problem) and one.code == "no-mark"]
    return Problem("no-wrench", " ".join([_none_fits(torque, wrenches, limit), *coarse]), "wrench")


def _rank(setting: Setting, today: date) -> tuple[bool, bool, float]:
    wrench = setting.wrench
    below = float(setting.shown.value) < habit_floor(float(wrench.high))
    return below, is_overdue(wrench, today), abs(setting.error_percent)


def _none_fits(torque: Torque, wrenches: Sequence[Wrench], limit: Limit) -> str:
    value = f"{limit} {show_torque(torque)}".strip()
    wanted = f"one from {_borrow(torque)}"
    if not wrenches:
        return f"No wrench is entered yet: enter one that holds {value}, {wanted}."
    return f"None of your wrenches holds {value}. Borrow {wanted}."


def _borrow(torque: Torque) -> str:
    """Return a range and a graduation to borrow, in the printed unit: half to twice the value, 2 % a step."""
    value = torque.target.value
    low, step = (_nice(value * share, up=False) for share in (Decimal("0.5"), Decimal("0.02")))
    high = _nice(value * 2, up=True)
    return (
        f"about {plain(low)} to {plain(high)} {torque.unit}, in steps of {plain(step)} {torque.unit} or finer"
    )


def _nice(value: Decimal, *, up: bool) -> Decimal:
    """Round to 1, 2 or 5 with noughts, as scales are marked."""
    power = Decimal(1).scaleb(value.adjusted())
    lead, steps = value / power, (1, 2, 5, 10)
    if up:
        return next(nice for nice in steps if lead <= nice) * power
    return next(nice for nice in reversed(steps) if nice <= lead) * power
