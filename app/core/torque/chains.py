"""One chain of stages printed in two units: compared and kept once, never run twice."""

from collections.abc import Sequence
from dataclasses import replace

from app.core.torque.refusals import UnreadableError
from app.core.torque.values import Stage, StageKind, deviation_percent

SAME_CHAIN_WITHIN = 10.0
"""Torques of one chain in two units differ by less, [%]. A rule of the product."""
_SAME_DEGREES = 1
_SHORTEST = 2


def merged_chains(stages: tuple[Stage, ...]) -> tuple[Stage, ...]:
    """Return the stages with a half that repeats the first in another unit taken for further columns."""
    for copies in (3, 2):
        length, rest = divmod(len(stages), copies)
        if rest or length < 1 or len(stages) < _SHORTEST * copies:
            continue
        first = stages[:length]
        others = [stages[at : at + length] for at in range(length, len(stages), length)]
        if all(same_chain(first, other) for other in others):
            return tuple(with_columns(first, others))
    return stages


def same_chain(first: Sequence[Stage], other: Sequence[Stage]) -> bool:
    """Tell whether two chains are one, in two units: the same acts, torques that agree, the same turns."""
    return (
        len(first) == len(other)
        and any(stage.torque for stage in first)
        and all(_same_stage(one, two) for one, two in zip(first, other, strict=True))
    )


def _same_stage(one: Stage, other: Stage) -> bool:
    if one.kind is not other.kind or one.check != other.check:
        return False
    if one.torque and other.torque:
        same_unit = one.torque.unit is other.torque.unit
        return not same_unit and deviation_percent(one.torque, other.torque) <= SAME_CHAIN_WITHIN
    if one.degrees and other.degrees:
        return abs(one.degrees.target - other.degrees.target) <= _SAME_DEGREES
    return one.degrees is other.degrees


def with_columns(first: Sequence[Stage], others: Sequence[Sequence[Stage]]) -> list[Stage]:
    """Return the stages of the first chain with the torques of the others as further columns."""
    return [
        replace(
            stage,
            others=(*stage.others, *(torque for chain in others if (torque := chain[at].torque))),
        )
        if stage.kind is StageKind.TORQUE
        else stage
        for at, stage in enumerate(first)
    ]


def with_bracket(stages: Sequence[Stage], bracket: Sequence[Stage]) -> list[Stage]:
    """Return the stages with a chain in brackets compared with their last ones.

    Raises:
        UnreadableError: The bracket says something else than the stages before it.
    """
    length = len(bracket)
    last = list(stages[-length:])
    if len(last) < length or not same_chain(last, bracket):
        raise UnreadableError(
            "chains-disagree",
            "The stages in brackets are not those before them in another unit. Keep the ones that hold.",
        )
    return [*stages[:-length], *with_columns(last, [bracket])]
