"""What of a build comes before, and what after, each milestone of the way back."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.core.order.acts import MILESTONE
from app.core.order.graph import ACTS, Graph


@dataclass(frozen=True, slots=True)
class Bounds:
    """Milestones are counted from 1, first to last.

    Args:
        after: Thing -> the last milestone that it comes after, by itself or by what it waits for.
        before: For each milestone the things that come before it.
    """

    after: Mapping[str, int]
    before: tuple[frozenset[str], ...]


def bounds_of(graph: Graph) -> Bounds:
    """Return what comes before and after each milestone of a graph."""
    told = [i for i in graph.order if graph.nodes[i].what == MILESTONE]
    nth = {node: at for at, node in enumerate(told, 1)}
    floor: dict[int, int] = {}
    for i in graph.order:
        behind = max((floor[other] for other in graph.before[i]), default=0)
        floor[i] = max(behind, nth.get(i, 0))
    after = {of: floor[place] for of, place in graph.last_place.items()}
    before = tuple(
        frozenset(graph.nodes[other].of for other in graph.before[node] if graph.nodes[other].what in ACTS)
        for node in told
    )
    return Bounds({of: at for of, at in after.items() if at}, before)
