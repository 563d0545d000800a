"""How a printed torque is shown: the printed value large, the rest small and marked as derived."""

from functools import lru_cache

from app.core.problem import Problem
from app.core.torque.text import (
    StageKind,
    TorqueSpec,
    TorqueUnit,
    format_torque,
    parse_torque,
    show_converted,
)


def view(text: str) -> dict[str, str]:
    """Return how a printed torque is shown.

    Returns:
        `value` and `unit` of a plain torque; a longer text (stages, angles) stands whole in `value` without
        a unit of its own. `angle`: the turn after the torque. `derived`: the torques in another unit.
    """
    spec = parse_torque(text)
    if isinstance(spec, Problem):
        return {"value": text, "unit": "", "angle": "", "derived": ""}
    first = spec.stages[0]
    if first.kind is not StageKind.TORQUE or first.torque is None or not _is_plain(spec):
        return {"value": text, "unit": "", "angle": "", "derived": _in_another_unit(spec)}
    angles = format_torque(spec).split("; ")[1:]
    shown = show_converted(first.torque, first.torque.unit)
    value, _, unit = shown.rpartition(" ")
    return {
        "value": value,
        "unit": unit,
        "angle": " + ".join(angles),
        "derived": _in_another_unit(spec),
    }


def _in_another_unit(spec: TorqueSpec) -> str:
    """Return the torques of all stages in newton metres; what is printed in those, in pound-feet."""
    return ", then ".join(
        show_converted(
            stage.torque,
            TorqueUnit.POUND_FOOT
            if stage.torque.unit is TorqueUnit.NEWTON_METRE
            else TorqueUnit.NEWTON_METRE,
        )
        for stage in spec.stages
        if stage.torque is not None
    )


def _is_plain(spec: TorqueSpec) -> bool:
    """Tell whether a torque is one value, perhaps with turns after it: short enough to be set large."""
    return all(stage.kind is StageKind.ANGLE for stage in spec.stages[1:])


@lru_cache(maxsize=4096)
def next_target(text: str) -> str:
    """Return the number of the final torque where it is one value in the printed unit, or an empty text."""
    spec = parse_torque(text) if text else None
    if not isinstance(spec, TorqueSpec) or spec.final is None or spec.final.torque is None:
        return ""
    band = spec.final.torque.band
    return (
        show_converted(spec.final.torque, spec.final.torque.unit).split(" ")[0]
        if band.low == band.high
        else ""
    )
