"""Values that belong to one stage: the ends of a range, the columns in other units."""

from dataclasses import replace

from app.core.torque.bands import Band
from app.core.torque.refusals import UnreadableError, checked
from app.core.torque.values import (
    DISAGREES_BEYOND,
    Limit,
    Stage,
    Torque,
    deviation_percent,
    rounding_explains,
)

_APART_BY = 1.4
"""Columns of one value that differ by this factor are two values or a slip, [-]. A rule of the product."""


def bounded(stages: list[Stage]) -> list[Stage]:
    """Join `20 N·m min. 25 N·m max.` to one range.

    Raises:
        UnreadableError: The most is below the least.
    """
    kept: list[Stage] = []
    for stage in stages:
        last = kept[-1] if kept else None
        if last and last.limit is Limit.LEAST and stage.limit is Limit.MOST and stage.torque and last.torque:
            merged = range_of(last, stage.torque)
            if merged:
                kept[-1] = merged
                continue
        kept.append(stage)
    return kept


def range_of(last: Stage, high: Torque) -> Stage | None:
    """Join `25 N·m - 30 N·m` to one range; `None` where the units differ or it is no range."""
    low = last.torque
    if low is None or low.unit != high.unit or last.others or low.band.low != low.band.high:
        return None
    return replace(
        last, torque=checked(Torque(Band(low.band.low, high.band.high), low.unit), ""), limit=Limit.NONE
    )


def with_column(stage: Stage, column: Torque) -> Stage:
    """Return a stage with its value in another unit, or with the nominal value of its range.

    Raises:
        UnreadableError: The two are no one value, or a second value in the same unit.
    """
    main = stage.torque
    if main and main.unit == column.unit and column.band.low < main.band.target < column.band.high:
        return replace(stage, torque=Torque(replace(column.band, nominal=main.band.target), main.unit))
    same = next((old for old in (main, *stage.others) if old and old.unit is column.unit), None)
    if (
        main
        and main.low_nm
        and _factor_apart(main, column) >= _APART_BY
        and not rounding_explains(main, column)
    ):
        raise UnreadableError(
            "columns-apart",
            f"{main.band.high:f} {main.unit} and {column.band.high:f} {column.unit} are not one value: they "
            f"differ by a factor of {_factor_apart(main, column):.1f}. Look at the print; write the one that "
            "holds.",
        )
    if same and deviation_percent(same, column) > DISAGREES_BEYOND:
        raise UnreadableError(
            "two-values",
            f"{column.band.high:f} {column.unit} is a second value in the same unit. Keep one.",
        )
    others = (*stage.others, column)
    return Stage(stage.kind, stage.torque, stage.degrees, others, stage.limit, stage.check)


def _factor_apart(one: Torque, other: Torque) -> float:
    high = one.high_nm / other.high_nm
    low = one.low_nm / other.low_nm if other.low_nm else high
    return max(high, 1 / high, low, 1 / low if low else 1.0)
