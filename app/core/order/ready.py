"""What can be done now, and for what cannot the shortest reason that is true."""

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from app.core.order.acts import MILESTONE
from app.core.order.graph import ACTS
from app.core.order.progress import OrderProgress
from app.core.procurement.outstanding import Unavailable

BENCH = "bench"
SHORT_MINUTES = 15
"""What a helper who knows nothing is offered takes no longer, [min]. Common practice."""
GOOD_ONES = 3


@dataclass(frozen=True, slots=True)
class Here:
    """Who and what is here.

    Args:
        people: How many hands can help, 1 or more; 0 where that is not asked.
        height: How the vehicle stands; empty where any height will do.
        minutes: How long there is, [min]; 0 where that is not asked.
    """

    people: int = 0
    height: str = ""
    minutes: int = 0


@dataclass(frozen=True, slots=True)
class Demand:
    """What an item asks for, by its step.

    Args:
        height: How the vehicle has to stand; empty where it does not matter.
        people: How many people, 1 or more.
        minutes: About how long it takes, [min].
        zone: Where it is.
        for_anybody: Whether somebody can do it who knows nothing: it has a name, and no caution of weight.
        critical: Whether a second person looks at it.
    """

    height: str = ""
    people: int = 1
    minutes: int = 0
    zone: str = ""
    for_anybody: bool = True
    critical: bool = False


@dataclass(frozen=True, slots=True)
class Held:
    """Something that cannot be done now, and why.

    Args:
        item: What.
        code: `undecided`, `disagree`, `does-not-fit`, `apart`, `unavailable`, `behind`, `milestone`,
            `height`, `people` or `minutes`.
        other: The item that is the reason, where it is not the item itself; with `milestone` its word.
        unavailable: What is waited for, with `unavailable`.
        need: What it needs: the height, or how many people or minutes.
        have: How many minutes there are.
    """

    item: str
    code: str
    other: str = ""
    unavailable: Unavailable | None = None
    need: str = ""
    have: str = ""


@dataclass(frozen=True, slots=True)
class Now:
    """What can be done now, in the order of putting back, and what cannot.

    Args:
        ready: Ids of items, and of steps of the way back.
        held: The rest of what is to be done.
        good: Up to three of the ready for a helper who knows nothing.
    """

    ready: tuple[str, ...]
    held: tuple[Held, ...]
    good: tuple[str, ...] = ()


def now(
    progress: OrderProgress,
    demands: Mapping[str, Demand],
    here: Here,
    *,
    stuck: Mapping[str, str],
    unavailable: Mapping[str, Unavailable],
) -> Now:
    """Return what can be done now, and why the rest cannot.

    An item is ready when all that must be in before its next act is in, it is here and decided, and it
    asks for no more than there is. Nothing is held back by time order.

    Args:
        progress: The graph with what is in.
        demands: For each item what it asks for; one that is absent asks for nothing.
        here: People, height, minutes.
        stuck: Item -> `undecided`, `disagree`, `does-not-fit` or `apart`.
        unavailable: Item -> what it waits for, such as the machine shop.
    """
    nearest = _nearest(progress, stuck.keys() | unavailable.keys())
    ready: list[str] = []
    held: list[Held] = []
    for item in progress.in_turn():
        if item not in progress.next_node:
            continue
        why = _bound(item, item, stuck, unavailable)
        if why is None and (cause := nearest.get(progress.next_node[item])):
            why = _bound(item, cause, stuck, unavailable) or Held(item, _code(cause, progress), cause)
        why = why or _asks_too_much(item, demands.get(item, Demand()), here)
        if why:
            held.append(why)
        else:
            ready.append(item)
    return Now(tuple(ready), tuple(held), _good(ready, demands))


def _code(cause: str, progress: OrderProgress) -> str:
    return "behind" if cause in progress.graph.acts else "milestone"


def _bound(
    item: str, cause: str, stuck: Mapping[str, str], unavailable: Mapping[str, Unavailable]
) -> Held | None:
    """Return what holds an item that only a decision, or something from elsewhere, can free."""
    other = cause if cause != item else ""
    if cause in stuck:
        return Held(item, stuck[cause], other)
    if cause in unavailable:
        return Held(item, "unavailable", other, unavailable[cause])
    return None


def _nearest(progress: OrderProgress, bound: AbstractSet[str]) -> Mapping[int, str]:
    """Return, for each act that has to wait, the nearest item ahead that could be done, or that is bound.

    Nearest by the number of acts between; of two alike the one that could be done, then the earlier one.
    """
    nodes, position = progress.graph.nodes, progress.graph.position
    near: dict[int, tuple[int, bool, int, int]] = {}
    offers: dict[int, tuple[int, bool, int, int]] = {}
    for i in progress.graph.order:
        if progress.inside[i]:
            continue
        ahead = [offers[other] for other in progress.graph.before[i] if not progress.inside[other]]
        if ahead:
            near[i] = min(ahead)
        is_bound = nodes[i].of in bound
        if nodes[i].what == MILESTONE and not ahead:
            offers[i] = (1, False, position[i], i)
        elif nodes[i].what not in ACTS:
            offers[i] = near[i]
        elif is_bound or not ahead:
            offers[i] = (1, is_bound, position[i], i)
        else:
            offers[i] = (near[i][0] + 1, *near[i][1:])
    return {i: nodes[found[3]].of for i, found in near.items()}


def _asks_too_much(item: str, demand: Demand, here: Here) -> Held | None:
    """Return which of height, people and minutes there is not; work on the bench asks for no height."""
    if here.height and demand.height not in {"", BENCH, here.height}:
        return Held(item, "height", need=demand.height)
    if here.people and demand.people > here.people:
        return Held(item, "people", need=str(demand.people))
    if here.minutes and demand.minutes > here.minutes:
        return Held(item, "minutes", need=str(demand.minutes), have=str(here.minutes))
    return None


def _good(ready: Sequence[str], demands: Mapping[str, Demand]) -> tuple[str, ...]:
    """Return up to three of the ready that suit a helper: one a zone, short, alone, no cautions."""
    found: dict[str, str] = {}
    for item in ready:
        demand = demands.get(item, Demand())
        suits = demand.for_anybody and not demand.critical
        suits = suits and demand.people == 1 and demand.minutes <= SHORT_MINUTES
        if suits and demand.zone not in found and len(found) < GOOD_ONES:
            found[demand.zone] = item
    return tuple(found.values())
