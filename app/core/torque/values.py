"""What a printed torque says: values with their unit, angles, stages, and columns that disagree."""

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache

from app.core.torque.bands import Band, read_band
from app.core.torque.units import (
    NEWTON_METRES,
    Quantity,
    TorqueUnit,
    converted,
    split_unit,
)

DISAGREES_BEYOND = 3.0
"""Columns of one value that differ by more are shown as disagreeing, [%]. A rule of the product."""


@dataclass(frozen=True, slots=True)
class Torque:
    """A torque as printed, with its unit.

    Args:
        band: The number or range, in `unit`, above 0.
        unit: The printed unit.
    """

    band: Band
    unit: TorqueUnit

    @property
    def target(self) -> Quantity:
        """The value to aim at, in the printed unit."""
        return Quantity(self.band.target, self.unit)

    @property
    def low_nm(self) -> float:
        """The lower end, [N·m]."""
        return float(self.band.low * NEWTON_METRES[self.unit])

    @property
    def high_nm(self) -> float:
        """The upper end, [N·m]."""
        return float(self.band.high * NEWTON_METRES[self.unit])

    @property
    def target_nm(self) -> float:
        """The value to aim at, [N·m]."""
        return float(self.band.target * NEWTON_METRES[self.unit])


@lru_cache(maxsize=32)
def torque_of(text: str) -> Torque | None:
    """Return the torque of a piece such as `8-12 N·m` or `20 N·m ±2`; `None` where it holds none."""
    parted = split_unit(text)
    if parted is None:
        return None
    numbers, unit, tolerance = parted
    try:
        return Torque(read_band(f"{numbers} {tolerance.strip('()[] .')}"), unit)
    except ValueError:
        return None


class StageKind(StrEnum):
    """What is done in one stage."""

    TORQUE = "torque"
    ANGLE = "angle"
    LOOSEN = "loosen"
    AGAIN = "again"
    NEW_BOLT = "new bolt"
    SNUG = "snug"


class Limit(StrEnum):
    """How a printed value bounds what is reached."""

    NONE = ""
    LEAST = "min."
    MOST = "max."


@dataclass(frozen=True, slots=True)
class Stage:
    """One thing to do to the fastener.

    Args:
        kind: What is done.
        torque: The value of a torque stage.
        degrees: The angle of an angle stage, or of a loosening, [°]; `None` for loosening without a figure.
        others: Further columns of the same value, in the order of the print.
        limit: Whether the value or the angle is only a least or a most.
        check: The value is felt or measured (a turning torque, a tool's range), not tightened to.
    """

    kind: StageKind
    torque: Torque | None = None
    degrees: Band | None = None
    others: tuple[Torque, ...] = ()
    limit: Limit = Limit.NONE
    check: bool = False


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two columns of one value that say different things.

    Args:
        first: The column that is printed first.
        other: The further column.
        percent: The larger difference of the two ends, relative to `first`, [%].
        rounded: Whether rounding to the digits of the further column explains it.
    """

    first: Torque
    other: Torque
    percent: float
    rounded: bool


@dataclass(frozen=True, slots=True)
class TorqueSpec:
    """A torque as the manual prints it, and what it says.

    Args:
        text: The printed text, kept; two specs are equal when they say the same.
        stages: What is done, first to last; never empty.
        conditions: Under which state of thread or engine it holds, as printed: `dry`, `oiled`, `cold`.
        recheck: Whether the print asks for another look later, after a run.
        doubts: Why a person is to confirm the reading once, a sentence each; empty for a plain form in
            which every word is covered.
    """

    text: str = field(compare=False)
    stages: tuple[Stage, ...]
    conditions: tuple[str, ...] = ()
    recheck: bool = False
    doubts: tuple[str, ...] = field(default=(), compare=False)

    @property
    def final(self) -> Stage | None:
        """The last torque stage that is tightened to; `None` where there is none."""
        tightened = (stage for stage in reversed(self.stages) if stage.torque and not stage.check)
        return next(tightened, None)

    @property
    def others(self) -> tuple[Torque, ...]:
        """The further columns of all stages, first to last."""
        return tuple(other for stage in self.stages for other in stage.others)

    @property
    def disagreements(self) -> tuple[Disagreement, ...]:
        """Columns of one value that differ by more than 3 %."""
        return tuple(
            Disagreement(stage.torque, other, percent, rounding_explains(stage.torque, other))
            for stage in self.stages
            if stage.torque
            for other in stage.others
            if (percent := deviation_percent(stage.torque, other)) > DISAGREES_BEYOND
        )


def deviation_percent(first: Torque, other: Torque) -> float:
    """Return by how much two columns of one value differ, relative to the first, [%].

    The larger of the differences at the lower and at the upper end.
    """
    low = abs(other.low_nm - first.low_nm) / first.low_nm if first.low_nm else 0.0
    return 100 * max(low, abs(other.high_nm - first.high_nm) / first.high_nm)


def rounding_explains(first: Torque, other: Torque) -> bool:
    """Tell whether rounding to the digits of the further column explains that two columns differ."""
    ends = ((first.band.low, other.band.low), (first.band.high, other.band.high))
    return all(_rounds_to(Quantity(exact, first.unit), Quantity(shown, other.unit)) for exact, shown in ends)


def _rounds_to(exact: Quantity, shown: Quantity) -> bool:
    exponent = shown.value.as_tuple().exponent
    half_step = Decimal(1).scaleb(exponent) / 2 if isinstance(exponent, int) else Decimal(0)
    return abs(converted(exact, shown.unit).value - shown.value) <= half_step
