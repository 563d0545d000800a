"""Acts on the way back: the nodes of the graph, and what the plan says of them."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from app.core.items.items import Connection, Edge, Item
from app.core.items.kinds import Act, Kind, rung
from app.core.items.state import ItemState
from app.core.ledger.ledger import has_begun, is_settled, is_unused, needs, work_act
from app.core.phases.barriers import Barrier
from app.core.phases.settling import NO_SETTLING, Settling

PLACE, FINISH, CHECK, OUT = "place", "finish", "check", "out"
"""In position; its work finished (tight, routed, bled); looked at; taken out again."""

BEGIN, END, LAID, JOINT, LIVE, CLOSED = "begin", "end", "laid", "joint", "live", "closed"
SETTLED = "settled"
"""Nodes that nobody does: a step's start and end, all its things in position, all groups of a joint
started, all electrics joined, a fluid's circuit closed, exhaust and shafts tight. Each is in when all that
is before it is."""

MILESTONE = "milestone"
"""A node for what happens to an engine, a gearbox or the vehicle; see `app.core.phases.barriers`."""

LATER, LOOSENED, TWICE, DURING = "later", "loosened", "twice", "during"
INSTALL_EXCEPTIONS = (LATER, LOOSENED, TWICE, DURING)
"""Tightened in a later step; loosened and tightened again there; fitted twice; put back during removal."""

GROUND, ELECTRIC = "ground", "electric"
_GROUND_WORDS = ("ground", "earth", "negative", "minus")
_STUD = re.compile(r"^(?!.*\b(?:nuts?|bolts?)\b).*\bstuds?\b")
"""A name that speaks of studs and not of what goes on them."""

_ELECTRIC_TYPES = ("battery cable", "ground strap", "electrical connector", "sensor", "fuel line")
"""What is joined before the battery's ground: what carries current, and fuel, which a spark must not meet."""


class Node(NamedTuple):
    """One act of an item, or a node that nobody does; `nth` counts fittings on the way back."""

    of: str
    what: str = PLACE
    nth: int = 1


@dataclass(frozen=True, slots=True)
class Thing:
    """What the graph knows of an item, or of a step that exists on the way back only.

    Args:
        step: The id of its step, empty where unknown.
        off_seq: When it came off; 0 for what never did.
        goes_back: Whether it is put back; what is left out or stays on the old engine is not.
        finishes: Whether its work goes on after it is in position.
        looked_at: Whether a second person looks at it.
        current: `GROUND` for the battery's ground cable, `ELECTRIC` for what carries current beside it.
        system: The fluid that it holds back, or is; empty where none or not said.
        is_stud: Whether it goes in before what it carries.
    """

    id: str
    kind: Kind = Kind.PART
    step: str = ""
    off_seq: int = 0
    goes_back: bool = True
    finishes: bool = False
    looked_at: bool = False
    current: str = ""
    system: str = ""
    is_stud: bool = False


@dataclass(frozen=True, slots=True)
class PlanStep:
    """A step of the plan; `position` counts in the order of taking off."""

    id: str
    position: int
    direction: str = "both"


@dataclass(frozen=True, slots=True)
class StepEdge:
    """A stated order of two steps on the way back: `before` is done before `after`, for a reason."""

    before: str
    after: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class InstallException:
    """An exception of one item to the reverse.

    Args:
        item: Whose.
        step: The step in which it is tightened at last, fitted first, or taken out again.
        what: One of `INSTALL_EXCEPTIONS`.
        nth: The round of taking off that was the item's newest when this was stated.
        reason: Why, in the user's words.
    """

    item: str
    step: str
    what: str
    nth: int = 1
    reason: str = ""


@dataclass(frozen=True, slots=True)
class GoesAfter:
    """A stated order of two things on the way back: `item` goes back after `after`, for a reason."""

    item: str
    after: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """All that the order follows from.

    Args:
        milestones: Those of the way back, first to last.
        barriers: For each thing what of it comes before, and what after, which of them.
        unsaid: Things of which nothing tells on which side of the milestones they belong.
        settling: Groups that are tightened last of all that holds the engine, and what before them.
    """

    things: tuple[Thing, ...]
    steps: tuple[PlanStep, ...] = ()
    edges: tuple[Edge, ...] = ()
    step_edges: tuple[StepEdge, ...] = ()
    install_exceptions: tuple[InstallException, ...] = ()
    goes_after: tuple[GoesAfter, ...] = ()
    milestones: tuple[str, ...] = ()
    barriers: Mapping[str, tuple[Barrier, ...]] = field(default_factory=dict)
    unsaid: tuple[str, ...] = ()
    settling: Settling = NO_SETTLING


@dataclass(frozen=True, slots=True)
class Progress:
    """How far an item is.

    Args:
        placed: At least in position, at every position that counts.
        finished: Its work is done; the second look may be open.
        looked_at: The second look is taken, or none is asked for.
        round: How often it has come off.
    """

    placed: bool = False
    finished: bool = False
    looked_at: bool = False
    round: int = 1


def thing_of(item: Item, *, off_seq: int = 0, goes_back: bool = True) -> Thing:
    """Return what the graph knows of an item; a fluid is its own system."""
    return Thing(
        item.id,
        item.kind,
        item.step,
        off_seq,
        goes_back,
        rung(item.kind, work_act(item)) > 1,
        needs(item) is Act.CHECKED,
        _current(item),
        item.type if item.kind is Kind.FLUID else item.circuit,
        item.kind is Kind.FASTENER and bool(_STUD.search(item.name.casefold())),
    )


def _current(item: Item) -> str:
    """Return whether something carries current, and whether it is the battery's ground cable."""
    if not isinstance(item.detail, Connection) or not item.type.endswith(_ELECTRIC_TYPES):
        return ""
    said = " ".join((item.name, *(end.label for end in item.detail.ends))).casefold()
    is_cable = item.type.endswith("battery cable") and any(word in said for word in _GROUND_WORDS)
    is_ground = is_cable or (item.type.endswith("ground strap") and "battery" in said)
    return GROUND if is_ground else ELECTRIC


def progress_of(item: Item, state: ItemState) -> Progress:
    """Return how far an item is; one of which lines disagree is not in."""
    if not has_begun(state):
        on = item.kind is not Kind.STEP
        return Progress(on, on, on, state.round)
    if is_settled(item, state) or is_unused(state):
        return Progress(True, True, True, state.round)
    if any(position.disagree for position in state.positions):
        return Progress(round=state.round)
    rungs = [rung(item.kind, p.act) for p in state.positions if p.act and p.piece != "spare"]
    work = rung(item.kind, work_act(item))
    return Progress(
        _reach(rungs, min(1, work)),
        _reach(rungs, work),
        _reach(rungs, rung(item.kind, needs(item))),
        state.round,
    )


def _reach(rungs: Iterable[int], wanted: int) -> bool:
    return all(at >= wanted for at in rungs)
