"""Whether a value that was reached on the bolt is within what the manual prints."""

from app.core.problem import Problem
from app.core.torque_units import Quantity, torque_nm
from app.core.torque_values import Limit, Stage
from app.core.wrenches import iso6789_share


def reached_problem(stage: Stage, reached: Quantity) -> Problem | None:
    """Return what is wrong with a reached torque; `None` if it is within the print.

    A printed range or tolerance is the band. A single number gets the deviation that ISO 6789 permits a
    wrench at that torque (6 % up to 10 N·m, 4 % above), as no manual expects more. `min.` and `max.`
    bound one side.

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
    low, high = _band_nm(stage)
    if low <= value <= high:
        return None
    side = "below" if value < low else "above"
    return Problem(
        "reached-outside",
        f"{reached.value:f} {reached.unit} is {side} what is printed: it stays open.",
        "reached",
    )


def _band_nm(stage: Stage) -> tuple[float, float]:
    torque = stage.torque
    if torque is None:
        raise ValueError(stage.kind)
    low, high = torque.low_nm, torque.high_nm
    if low == high:
        share = iso6789_share(low)
        low, high = low * (1 - share), high * (1 + share)
    if stage.limit is Limit.LEAST:
        return torque.low_nm, float("inf")
    return (0.0, torque.high_nm) if stage.limit is Limit.MOST else (low, high)
