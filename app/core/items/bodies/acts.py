"""What is said of a thing: marks, counts, what becomes of it, where it lies, and lines about lines."""

from dataclasses import dataclass
from typing import ClassVar

from app.core.items.bodies.base import Body, key
from app.core.items.bodies.rules import (
    ACT,
    ID,
    ID_OR_NONE,
    LENGTHS,
    LITRES,
    MOST_ROUNDS,
    MOST_STAGES,
    POSITIONS,
    TICKED,
    count,
    text,
    word,
)
from app.core.items.items import DESTINIES, FATES
from app.core.items.kinds import Act

PIECES = ("", "renewed", "spare", "lost", "tool")
AMOUNT_SIDES = ("drained", "filled")
TOLD = ("", "clicked", "read", "marks lined up", "angle gauge", "by feel")
_READ_OFF = 80
_CODE = 200


@dataclass(frozen=True, slots=True)
class Mark(Body):
    """An act on a thing.

    Args:
        act: What happened.
        stage: Which stage was reached, where the act is `stage`.
        pos: At which positions; `None` for all.
        piece: What became of the old pieces.
        reached, wrench: What was reached at the bolt, and with which wrench.
        told: How that is known, a value of `app.core.torque.acts.Told`; empty in lines of earlier versions.
        setting: What an adapter's wrench was set to, or showed, where that is not what the bolt got.
        via, half: The code read on the other half, and the half in the hand.
        alone: A second look by the doer, after a break.
        round: In which round of the engine a second look was taken; lines of earlier versions say nothing.
        litres: How much came out or went in, [l].
        reason: Why, or what was decided.
    """

    VERB: ClassVar[str] = "mark"
    VERSION: ClassVar[int] = 2
    NEEDS: ClassVar[tuple[str, ...]] = ("act",)
    act: Act | None = key(ACT)
    stage: int = key(count(0, MOST_STAGES), 0)
    pos: tuple[int, ...] | None = key(POSITIONS)
    piece: str | None = key(word(PIECES))
    reached: str = key(text(_READ_OFF), "")
    wrench: str = key(text(_READ_OFF), "")
    told: str = key(word(TOLD), "")
    setting: str = key(text(_READ_OFF), "")
    via: str = key(text(_CODE), "")
    half: str = key(text(_CODE), "")
    alone: bool = key(TICKED, default=False)
    round: int = key(count(1, MOST_ROUNDS), 1)
    litres: float | None = key(LITRES)
    reason: str = key(text(), "")


@dataclass(frozen=True, slots=True)
class Count(Body):
    """What became of pieces, the lengths in their holes, or an amount that was measured."""

    VERB: ClassVar[str] = "count"
    pos: tuple[int, ...] | None = key(POSITIONS)
    piece: str | None = key(word(PIECES))
    lengths: str | None = key(LENGTHS)
    litres: float | None = key(LITRES)
    of: str = key(word(AMOUNT_SIDES), "")
    reason: str = key(text(), "")


@dataclass(frozen=True, slots=True)
class Settle(Body):
    """What holds where lines disagreed: the writer had all of them on the screen."""

    VERB: ClassVar[str] = "settle"
    VERSION: ClassVar[int] = 2
    NEEDS_ONE: ClassVar[tuple[str, ...]] = ("act", "piece", "destiny", "fate", "place", "lengths")
    act: Act | None = key(ACT)
    stage: int = key(count(0, MOST_STAGES), 0)
    pos: tuple[int, ...] | None = key(POSITIONS)
    piece: str | None = key(word(PIECES))
    destiny: str | None = key(word(DESTINIES))
    fate: str | None = key(word(FATES))
    place: str | None = key(ID_OR_NONE)
    lengths: str | None = key(LENGTHS)
    reached: str = key(text(_READ_OFF), "")
    wrench: str = key(text(_READ_OFF), "")
    told: str = key(word(TOLD), "")
    setting: str = key(text(_READ_OFF), "")
    via: str = key(text(_CODE), "")
    half: str = key(text(_CODE), "")
    alone: bool = key(TICKED, default=False)
    round: int = key(count(1, MOST_ROUNDS), 1)
    litres: float | None = key(LITRES)
    of: str = key(word(AMOUNT_SIDES), "")
    reason: str = key(text(), "")


@dataclass(frozen=True, slots=True)
class Move(Body):
    """Where a thing lies, or a place stands, from now on; empty for nowhere."""

    VERB: ClassVar[str] = "move"
    place: str | None = key(ID_OR_NONE)
    reason: str = key(text(), "")


@dataclass(frozen=True, slots=True)
class Dispose(Body):
    """What becomes of a thing."""

    VERB: ClassVar[str] = "dispose"
    destiny: str | None = key(word(DESTINIES))
    reason: str = key(text(), "")


@dataclass(frozen=True, slots=True)
class Fate(Body):
    """What becomes of what does not go back."""

    VERB: ClassVar[str] = "fate"
    fate: str | None = key(word(FATES))
    reason: str = key(text(), "")


@dataclass(frozen=True, slots=True)
class Acknowledge(Body):
    """Somebody looked into a caution about a torque as it is printed, or into amounts that do not fit."""

    VERB: ClassVar[str] = "acknowledge"
    NEEDS: ClassVar[tuple[str, ...]] = ("caution", "torque")
    caution: str = key(text(40), "")
    torque: str = key(text(), "")
    amounts: str = key(word(("right",)), "")
    reason: str = key(text(), "")


@dataclass(frozen=True, slots=True)
class Confirm(Body):
    """Somebody compared the reading of a torque with the print: the text and what it was read as."""

    VERB: ClassVar[str] = "confirm"
    NEEDS: ClassVar[tuple[str, ...]] = ("torque", "reading")
    torque: str = key(text(), "")
    reading: str = key(text(), "")
    reason: str = key(text(), "")


@dataclass(frozen=True, slots=True)
class Undo(Body):
    """A line is taken back."""

    VERB: ClassVar[str] = "undo"
    NEEDS: ClassVar[tuple[str, ...]] = ("line",)
    line: str = key(ID, "")
    gate: str = key(text(), "")
    reason: str = key(text(), "")
