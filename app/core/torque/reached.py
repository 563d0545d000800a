"""Whether a value that was reached on the bolt is within what the manual prints."""

from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache

from app.core.problem import Problem
from app.core.torque.text import parse_torque, show_torque
from app.core.torque.units import Quantity, torque_nm
from app.core.torque.values import (
    Limit,
    Stage,
    StageKind,
    Torque,
    TorqueSpec,
)
from app.core.torque.wrench_marks import aim_of


def reached_problem(stage: Stage, reached: Quantity) -> Problem | None:
    """Return what is wrong with a reached torque; `None` if it is within the print.

    Every printed column counts: a value that fits any of them is reached. A printed range or tolerance is the
    band. A single number gets the deviation that ISO 6789 permits a wrench at that torque (6 % up to 10 N·m,
    4 % above), as no manual expects more. `min.` and `max.` bound one side; far on the other side it is asked
    whether that is meant.

    Args:
        stage: A torque stage.
        reached: What was reached, above 0.

    Raises:
        ValueError: `stage` is no torque stage.
    """
    if stage.torque is None:
        raise ValueError(stage.kind)
    value = torque_nm(reached)
    if not value > 0:
        return Problem("reached-not-above-zero", "The value reached must be above zero.", "reached")
    said = f"{reached.value:f} {reached.unit}"
    columns = (stage.torque, *stage.others)
    bands = [_band_nm(column, stage.limit) for column in columns]
    if any(low <= value <= high for low, high in bands):
        return None
    if stage.limit is not Limit.NONE and _is_far_inside(columns, stage.limit, value):
        return Problem(
            "reached-far",
            f"{said} is far from “{stage.limit} {show_torque(stage.torque)}”: is that meant? It stays open.",
            "reached",
        )
    side = "below" if value < bands[0][0] else "above"
    return Problem("reached-outside", f"{said} is {side} what is printed: it stays open.", "reached")


def _band_nm(torque: Torque, limit: Limit) -> tuple[float, float]:
    """Return what counts as reached, [N·m], lowest and highest."""
    aim = aim_of(torque, limit)
    slack = aim.target * _SLACK
    return aim.low - slack, aim.high + slack


_SLACK = 1e-9


def _is_far_inside(columns: Sequence[Torque], limit: Limit, value: float) -> bool:
    if limit is Limit.LEAST:
        return all(value > column.low_nm for column in columns)
    return all(value < column.high_nm for column in columns)


TURN_TOLERANCE_DEG = Decimal(5)
"""How far a turn may be off where the manual prints no band, [°]. Common practice: angle gauges are marked in
steps of 2° to 5°."""


def _turn_within(printed: Stage, noted: Stage) -> bool:
    if {printed.kind, noted.kind} != {StageKind.ANGLE} or printed.degrees is None or noted.degrees is None:
        return False
    low, high = printed.degrees.low, printed.degrees.high
    slack = TURN_TOLERANCE_DEG if low == high else Decimal(0)
    return low - slack <= noted.degrees.target <= high + slack


@lru_cache(maxsize=8192)
def is_within(printed: str, reached: str) -> bool:
    """Tell whether a value that was noted down fits what is printed.

    Args:
        printed: The torque as printed; empty where none is known.
        reached: The value as noted, with its unit; empty or «by feel» where none was read.

    Returns:
        False only where the noted value cannot be read, or lies outside the band of the last torque stage (of
        the last turn where an angle was noted).
    """
    if reached in {"", "by feel"}:
        return True
    noted, spec = parse_torque(reached), parse_torque(printed) if printed else None
    if isinstance(noted, TorqueSpec) and isinstance(spec, TorqueSpec) and noted.final is None:
        return _turn_within(spec.stages[-1], noted.stages[-1])
    if isinstance(noted, Problem) or noted.final is None or noted.final.torque is None:
        return False
    if not isinstance(spec, TorqueSpec) or spec.final is None:
        return True
    return reached_problem(spec.final, noted.final.torque.target) is None
