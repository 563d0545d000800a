"""Strongly connected components: sets of nodes that all wait for each other."""

from collections.abc import Iterable, Sequence


def strongly_connected_components(before: Sequence[Iterable[int]], among: set[int]) -> list[frozenset[int]]:
    """Return the sets of two or more nodes of which each waits for each other, directly or through others.

    Args:
        before: For each node those that come before it.
        among: The nodes to look at; links to others are passed over.

    Source: R. Tarjan, "Depth-first search and linear graph algorithms", SIAM J. Comput. 1 (1972), 146-160.
    """
    index: dict[int, int] = {}
    low: dict[int, int] = {}
    open_: dict[int, None] = {}
    found: list[frozenset[int]] = []
    for start in sorted(among):
        if start in index:
            continue
        index[start] = low[start] = len(index)
        open_[start] = None
        walk = [(start, iter(before[start]))]
        while walk:
            node, links = walk[-1]
            for other in links:
                if other not in among:
                    continue
                if other not in index:
                    index[other] = low[other] = len(index)
                    open_[other] = None
                    walk.append((other, iter(before[other])))
                    break
                if other in open_:
                    low[node] = min(low[node], index[other])
            else:
                walk.pop()
                if walk:
                    low[walk[-1][0]] = min(low[walk[-1][0]], low[node])
                if low[node] == index[node]:
                    found.append(_close(open_, node))
    return [component for component in found if len(component) > 1]


def _close(open_: dict[int, None], root: int) -> frozenset[int]:
    component: list[int] = []
    while not component or component[-1] != root:
        component.append(open_.popitem()[0])
    return frozenset(component)
