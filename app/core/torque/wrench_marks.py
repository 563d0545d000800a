"""Which mark of a scale serves a printed torque: inside the print with the tool's tolerance, or near it."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from app.core.torque.units import NEWTON_METRES, TorqueUnit
from app.core.torque.values import Limit, Torque
from app.core.torque.wrench_classes import WrenchType, iso6789_share

FAR_SHARE = Decimal("0.5")
"""How far beyond a least value, and below a most value, a torque may go before it is asked about, [-]. A rule
of the product: no print with `min.` means twice as much."""
READ_BETWEEN = frozenset({WrenchType.BEAM, WrenchType.DIAL})
"""Wrenches that are read between their marks, to half a graduation. Common practice."""
_HALF = Decimal("0.5")
_QUARTER = Decimal("0.25")


@dataclass(frozen=True, slots=True)
class Aim:
    """What a wrench is to reach at the bolt, [N·m].

    Args:
        low: The least that the print allows.
        target: What to aim at.
        high: The most that the print allows.
        is_single: Whether the print has one figure and no band of its own.
    """

    low: float
    target: float
    high: float
    is_single: bool


def aim_of(torque: Torque, limit: Limit = Limit.NONE) -> Aim:
    """Return what a printed torque lets a wrench reach.

    A single figure is met within what ISO 6789 permits at that torque. A least value has half as much again
    for its upper bound, a most value half of it for its lower one.
    """
    low, high, target = torque.low_nm, torque.high_nm, torque.target_nm
    far = float(FAR_SHARE)
    if limit is Limit.LEAST:
        return Aim(low, low * (1 + far / 4), low * (1 + far), is_single=False)
    if limit is Limit.MOST:
        return Aim(high * (1 - far), high * (1 - far / 4), high, is_single=False)
    if low == high:
        share = iso6789_share(target)
        return Aim(target * (1 - share), target, target * (1 + share), is_single=True)
    return Aim(low, target, high, is_single=False)


@dataclass(frozen=True, slots=True)
class Scale:
    """The scale of a wrench.

    Args:
        low: The lowest marked value, in `unit`.
        high: Full scale, in `unit`.
        graduation: One step, in `unit`.
        unit: Its unit.
        sort: How it tells the torque.
    """

    low: Decimal
    high: Decimal
    graduation: Decimal
    unit: TorqueUnit
    sort: WrenchType

    @property
    def step(self) -> Decimal:
        """What can be told apart on it, in `unit`: a graduation, on a pointer half of one."""
        return self.graduation * _HALF if self.sort in READ_BETWEEN else self.graduation

    def share_at(self, value: Decimal) -> Decimal:
        """The tool's tolerance at a setting, [-], with a quarter of a graduation where it is read by eye."""
        own = Decimal(str(iso6789_share(float(value * NEWTON_METRES[self.unit]), self.sort)))
        return own + self.graduation * _QUARTER / value if self.sort in READ_BETWEEN else own


def mark_for(scale: Scale, aim: Aim, factor: float = 1.0) -> tuple[Decimal, bool] | None:
    """Return the mark to set and whether the bolt stays inside the print with the tool's own tolerance.

    Args:
        scale: The scale of the wrench.
        aim: What the bolt is to get.
        factor: What the scale shows over what the bolt gets, [-]: 1 without an adapter.

    Returns:
        For a range the mark nearest to the middle that stays inside it with the tolerance of the tool; where
        the range is narrower than that, the nearest mark inside it.
        For one figure the nearest mark within 4 %
        (6 % at 10 N·m and below). `None` where no mark does.
    """
    per_unit = Decimal(factor) / NEWTON_METRES[scale.unit]
    low, target, high = (Decimal(end) * per_unit for end in (aim.low, aim.target, aim.high))
    if not aim.is_single:
        share = scale.share_at(target)
        safe = _nearest(scale, target, low / (1 - share), high / (1 + share))
        if safe is not None and _stays_inside(scale, safe, low, high):
            return safe, True
    inside = _nearest(scale, target, low, high)
    return None if inside is None else (inside, aim.is_single)


def _stays_inside(scale: Scale, mark: Decimal, low: Decimal, high: Decimal) -> bool:
    share, slack = scale.share_at(mark), Decimal("1e-9")
    return mark * (1 - share) >= low * (1 - slack) and mark * (1 + share) <= high * (1 + slack)


def _nearest(scale: Scale, target: Decimal, low: Decimal, high: Decimal) -> Decimal | None:
    """Return the mark nearest to a target between two ends of the scale, `None` where there is none."""
    slack = scale.step * Decimal("1e-9")
    first = ((max(low, scale.low) - scale.low - slack) / scale.step).to_integral_value(ROUND_CEILING)
    last = ((min(high, scale.high) - scale.low + slack) / scale.step).to_integral_value(ROUND_FLOOR)
    if first > last:
        return None
    near = ((target - scale.low) / scale.step).to_integral_value(ROUND_HALF_EVEN)
    steps = min(max(near, first), last)
    if scale.step < scale.graduation and steps % 2 == 0:
        return _with_digits(scale.low + steps / 2 * scale.graduation, scale.low, scale.graduation)
    return _with_digits(scale.low + steps * scale.step, scale.low, scale.step)


def _with_digits(mark: Decimal, *of: Decimal) -> Decimal:
    """Write a mark with the decimals of its scale."""
    decimals = max(-int(each.as_tuple().exponent) for each in of)
    return mark.quantize(Decimal(1).scaleb(-max(0, decimals)))
