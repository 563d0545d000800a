"""What a printed torque cannot be: numbers that are refused, each with what is wrong and what to do."""

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from app.core.problem import Problem
from app.core.torque.bands import Band
from app.core.torque.units import OFFERED
from app.core.torque.values import Stage, StageKind, Torque

LARGEST_NM = 20_000
"""Above this a number is taken for a slip, [N·m]; the axle nuts of lorries stay below 1,500."""
_WIDEST_RANGE = 5
_FRACTION_PARTS = frozenset({2, 4, 8, 16})
_WHERE = "torque"
_RAISED = re.compile("[⁺⁻][⁰¹²³⁴-⁹]*")


class UnreadableError(Exception):
    """The text cannot be read; `problem` says why and where."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.problem = Problem(code, message, _WHERE)


def unit_missing(number: str, text: str) -> UnreadableError:
    """Return what is raised for a number that has no unit."""
    return UnreadableError(
        "unit-missing",
        f"The number {number} has no unit: stopped at “{text}”. "
        f"Add the unit that the manual prints: {OFFERED}.",
    )


def too_wide(band: Band) -> UnreadableError:
    """Return what is raised for a range whose first number can be that of a step or a bolt."""
    return UnreadableError(
        "range-too-wide",
        f"{band.low:f} to {band.high:f} is too wide for one value. "
        "If the first number is a step or a bolt, write it as “step 1:”.",
    )


def refuse_raised(text: str) -> None:
    """`65 N·m⁺⁵`: a raised sign and figure can be a tolerance.

    Raises:
        UnreadableError: The text holds a raised plus or minus.
    """
    if not text.isascii() and (raised := _RAISED.search(text)):
        raise UnreadableError(
            "raised",
            f"“{raised.group()}” is raised: write a tolerance in the line, such as 65 +5/-0 N·m.",
        )


def refuse_a_turn_before_snug(stages: Sequence[Stage]) -> None:
    """`1/3 turn past finger tight` says last what is done first.

    Raises:
        UnreadableError: A turn stands directly before the snug tightening that it starts from.
    """
    for one, other in pairwise(stages):
        if one.kind is StageKind.ANGLE and other.kind is StageKind.SNUG:
            raise UnreadableError(
                "turn-before-snug",
                "The turn stands before what it starts from. Write it in the order in which it is done, "
                "such as: finger tight, then 1/3 turn.",
            )


def refuse_a_fraction(numbers: str) -> None:
    """`1/2 lb·ft` can be a half or a range.

    Raises:
        UnreadableError: The numbers are a fraction of 2, 4, 8 or 16.
    """
    part, slash, parts = numbers.strip().partition("/")
    if (
        slash
        and part.isdigit()
        and parts.isdigit()
        and int(parts) in _FRACTION_PARTS
        and int(part) < int(parts)
    ):
        raise UnreadableError(
            "fraction-or-range",
            f"“{numbers.strip()}” can be a fraction or a range. Write it as a decimal or with “to”.",
        )


def refuse_a_fall(last: Stage | None, torque: Torque) -> None:
    """`(long) 95 lb·ft, (short) 75 lb·ft`: what falls with no word between is for two fasteners.

    Raises:
        UnreadableError: The torque is below the one before it.
    """
    if last and last.torque and not last.check and torque.high_nm < last.torque.low_nm:
        raise UnreadableError(
            "two-values",
            f"{torque.band.high:f} {torque.unit} follows a higher value. If it is for other bolts, keep one; "
            "if it is the next stage, write “then” before it.",
        )


def checked(torque: Torque, text: str) -> Torque:
    """Return a torque that can be: a range that rises, above 0, at most `LARGEST_NM`.

    Raises:
        UnreadableError: It cannot be; `text` says which one in the message.
    """
    band = torque.band
    if band.low > band.high:
        raise UnreadableError(
            "range-upside-down",
            f"The range “{text or band.low}” ends below its start. Write the lower first.",
        )
    if band.high <= 0 or band.low < 0:
        raise UnreadableError("torque-not-above-zero", f"“{text}” is not above zero: a torque is.")
    if torque.high_nm > LARGEST_NM:
        raise UnreadableError(
            "torque-too-large",
            f"“{text}” is more than {LARGEST_NM} N·m: look at the number and the unit again.",
        )
    return torque


def settled(stage: Stage) -> Stage:
    """A range from zero is a tool's; a very wide one is no tightening value.

    Raises:
        UnreadableError: The range is wide enough for its first number to be a bolt or step number.
    """
    if stage.torque is None:
        return stage
    band = stage.torque.band
    if not band.low:
        return replace(stage, check=True)
    if not stage.check and band.nominal is None and band.high / band.low > _WIDEST_RANGE:
        raise too_wide(band)
    return stage
