"""How many runs of one height are needed at least for jobs that are left: bounds by paths, all true ones."""

from collections.abc import Callable, Sequence
from functools import cache
from itertools import combinations


class Bound:
    """Bounds for subsets of the same jobs.

    Each path through the jobs that are left forces runs: as many as its heights change, plus one. The same
    holds for the path as seen at one height only (how often it comes back to it) and at two heights only
    (where the others are thought away). What is forced at different heights adds up, since a run has one.

    Args:
        jobs: (height, bits of all jobs before it), each after all it waits for.
    """

    def __init__(self, jobs: Sequence[tuple[str, int]]) -> None:
        self._heights = [height for height, _ in jobs]
        self._next = _next_of([before for _, before in jobs])
        kinds = tuple(dict.fromkeys(self._heights))
        self._path = self._levels(_any_change)
        self._alone = {kind: self._levels(_comes_back(kind)) for kind in kinds}
        self._pairs = {
            pair: (self._after(*pair), self._after(*reversed(pair))) for pair in combinations(kinds, 2)
        }
        self._of: Callable[[int], int] = cache(self._work_out)

    def of(self, left: int) -> int:
        """Return how many runs these jobs need at least; what waits for any of them is among them."""
        return self._of(left)

    def _work_out(self, left: int) -> int:
        if not left:
            return 0
        alone = {kind: _highest(levels, left) for kind, levels in self._alone.items()}
        total = sum(alone.values())
        pairs = {
            pair: min(_highest(a, left), _highest(b, left)) + 1 if alone[pair[0]] or alone[pair[1]] else 0
            for pair, (a, b) in self._pairs.items()
        }
        beside = [runs + total - alone[a] - alone[b] for (a, b), runs in pairs.items()]
        others = max(1, len(alone) - 1)  # each run is seen in as many pairs as there are other heights
        return max(_highest(self._path, left), total, *beside, -(-sum(pairs.values()) // others))

    def _levels(self, counts: Callable[[str, str], int]) -> list[int]:
        """Return for 1, 2, … the set of jobs that begin a path of at least so many runs."""
        runs = [0] * len(self._heights)
        for at in range(len(runs) - 1, -1, -1):
            here = self._heights[at]
            ends = [runs[to] + counts(here, self._heights[to]) for to in self._next[at]]
            runs[at] = max(ends, default=counts(here, ""))
        return _as_levels(runs)

    def _after(self, one: str, other: str) -> list[int]:
        """Return for 1, 2, … the set of jobs that begin a path with so many changes between two heights.

        The path is met at height `one`.
        """
        met_at = {one: [0] * len(self._heights), other: [0] * len(self._heights)}
        for at in range(len(self._heights) - 1, -1, -1):
            here = self._heights[at]
            for before, runs in met_at.items():
                now = here if here in met_at else before
                further = max((met_at[now][to] for to in self._next[at]), default=0)
                runs[at] = further + (now != before)
        return _as_levels(met_at[one])


def _any_change(here: str, there: str) -> int:
    return int(here != there)


def _comes_back(kind: str) -> Callable[[str, str], int]:
    return lambda here, there: int(here == kind != there)


def _next_of(before: Sequence[int]) -> list[list[int]]:
    """Return for each job those that wait for it directly."""
    found: list[list[int]] = [[] for _ in before]
    for at, mask in enumerate(before):
        implied = 0
        for earlier in range(at - 1, -1, -1):
            if mask >> earlier & 1 and not implied >> earlier & 1:
                found[earlier].append(at)
                implied |= before[earlier]
    return found


def _as_levels(runs: Sequence[int]) -> list[int]:
    levels = [0] * max(runs, default=0)
    for at, value in enumerate(runs):
        for level in range(value):
            levels[level] |= 1 << at
    return levels


def _highest(levels: Sequence[int], left: int) -> int:
    """Return the highest level that a job in the set reaches; a level holds all above it."""
    low, high = 0, len(levels)
    while low < high:
        middle = (low + high) // 2
        if levels[middle] & left:
            low = middle + 1
        else:
            high = middle
    return low
