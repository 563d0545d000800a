"""What is said of a build's units: an engine hangs, is in, is mated; and which of two such lines is true."""

from dataclasses import dataclass
from typing import Any, ClassVar

from app.core.items.bodies.base import Body, Rule, key
from app.core.items.bodies.gates import LONGEST_TEXT, is_km
from app.core.items.bodies.rules import MOST_ROUNDS, TEXTS, TICKED, count, text

_LONG = text(LONGEST_TEXT)
_KM = Rule(is_km, str)


@dataclass(frozen=True, slots=True)
class MilestoneBody(Body):
    """A milestone.

    Args:
        units: Ids of the units that it happened to; the vehicle need not be named.
        round: In which round of its engine.
        before_record: It was so before anybody wrote anything down.
        trial: A lift-in that closes nothing.
        to: The direction, with `turn`.
        on, km: The day (ISO 8601) and the counter, with the first start.
        open: What its gate had open on the writer's screen.
        reason: Why they went on.
    """

    units: tuple[str, ...] = key(TEXTS, ())
    round: int = key(count(1, MOST_ROUNDS), 1)
    before_record: bool = key(TICKED, default=False)
    trial: bool = key(TICKED, default=False)
    to: str = key(text(20), "")
    on: str = key(text(20), "")
    km: str = key(_KM, "")
    open: tuple[str, ...] = key(TEXTS, ())
    reason: str = key(_LONG, "")


class HookUp(MilestoneBody):
    """The hook carries some of the weight."""

    VERB: ClassVar[str] = "hook_up"


class Rise(MilestoneBody):
    """It hangs free of the vehicle, or the cart carries it away from it."""

    VERB: ClassVar[str] = "rise"


class SetDown(MilestoneBody):
    """It stands on the stand, the bench or the floor."""

    VERB: ClassVar[str] = "set_down"


class Left(MilestoneBody):
    """It is gone: sold, scrapped, given back."""

    VERB: ClassVar[str] = "left"


class Parting(MilestoneBody):
    """Engine and gearbox are apart."""

    VERB: ClassVar[str] = "parting"


class Mating(MilestoneBody):
    """Engine and gearbox are together."""

    VERB: ClassVar[str] = "mating"


class LiftIn(MilestoneBody):
    """It is in its place in the vehicle, still carried."""

    VERB: ClassVar[str] = "lift_in"


class Landed(MilestoneBody):
    """Its mounts carry it."""

    VERB: ClassVar[str] = "landed"


class PowerOn(MilestoneBody):
    """The battery is connected for good."""

    VERB: ClassVar[str] = "power_on"


class FirstStart(MilestoneBody):
    """The engine ran."""

    VERB: ClassVar[str] = "first_start"


class Moved(MilestoneBody):
    """The vehicle rolled by its own power."""

    VERB: ClassVar[str] = "moved"


class Turn(MilestoneBody):
    """From now on a unit comes apart, or goes together."""

    VERB: ClassVar[str] = "turn"


MILESTONES: tuple[type[MilestoneBody], ...] = (
    *(HookUp, Rise, SetDown, Left, Parting, Mating, LiftIn, Landed, PowerOn, FirstStart, Moved, Turn),
)


@dataclass(frozen=True, slots=True)
class Choose(Body):
    """Of milestones that contradict each other one is true: `holds`; the writer had all of `of` on screen."""

    VERB: ClassVar[str] = "choose"
    NEEDS: ClassVar[tuple[str, ...]] = ("of", "holds")
    of: Any = key(TEXTS, ())
    holds: str = key(text(80), "")
    reason: str = key(_LONG, "")


@dataclass(frozen=True, slots=True)
class Explain(Body):
    """Somebody says why what the judge of sequence asks about is right as it is.

    Args:
        finding: Its key.
        seen: The lines that it speaks of, as the writer had them.
        reason: Why.
    """

    VERB: ClassVar[str] = "explain"
    NEEDS: ClassVar[tuple[str, ...]] = ("finding", "reason")
    finding: str = key(text(LONGEST_TEXT), "")
    seen: tuple[str, ...] = key(TEXTS, ())
    reason: str = key(_LONG, "")


@dataclass(frozen=True, slots=True)
class Accept(Body):
    """Somebody accepts that a critical thing does not go back as it came off.

    Args:
        seen: The newest lines of the thing, as the writer had them.
        reason: Why; the owner says one.
        alone: The owner looked again, on another day, because there is nobody else.
    """

    VERB: ClassVar[str] = "accept"
    seen: tuple[str, ...] = key(TEXTS, ())
    reason: str = key(_LONG, "")
    alone: bool = key(TICKED, default=False)
