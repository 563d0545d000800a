"""How a printed torque is shown: the printed value large, the rest small and marked as derived."""

from collections.abc import Mapping
from functools import lru_cache

from app.core.items.items import Fastener
from app.core.tightening.parsed import MOST_KEPT, parsed
from app.core.torque.text import StageKind, TorqueSpec, TorqueUnit, format_torque, show_converted


@lru_cache(maxsize=MOST_KEPT)
def view(group: Fastener) -> Mapping[str, str]:
    """Return how a group's printed torque is shown.

    Returns:
        `value` and `unit` of a plain torque; a longer text (stages, angles) stands whole in `value` without
        a unit of its own. `angle`: the turn after the torque. `derived`: the torques in another unit.
    """
    spec, text = parsed(group).torque, group.torque
    if spec is None:
        return unread(text)
    first = spec.stages[0]
    if first.kind is not StageKind.TORQUE or first.torque is None or not _is_plain(spec):
        return {**unread(text), "derived": _in_another_unit(spec)}
    angles = format_torque(spec).split("; ")[1:]
    shown = show_converted(first.torque, first.torque.unit)
    value, _, unit = shown.rpartition(" ")
    return {
        "value": value,
        "unit": unit,
        "angle": " + ".join(angles),
        "derived": _in_another_unit(spec),
    }


def unread(text: str) -> Mapping[str, str]:
    """Return how a torque is shown that stands as it is printed."""
    return {"value": text, "unit": "", "angle": "", "derived": ""}


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


def next_target(group: Fastener) -> str:
    """Return the number of the final torque where it is one value in the printed unit, or an empty text."""
    final = parsed(group).final
    if final is None or final.torque is None or final.torque.band.low != final.torque.band.high:
        return ""
    return show_converted(final.torque, final.torque.unit).split(" ")[0]
