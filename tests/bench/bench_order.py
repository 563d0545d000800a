"""Fewest changes of height and a split on named families of graphs, beside Python's own topological sort.

Run `python -m tests.bench.bench_order`; prints a table and fails where the slowest plan of heights takes
longer than its target. `hostile` are chains of all the ways in which heights can follow each other:
whatever height comes next, most chains wait for another.
"""

import sys
import time
from collections.abc import Callable, Iterator
from graphlib import TopologicalSorter
from itertools import permutations
from random import Random

from app.core.plan.heights import changes_in, fewest_changes
from app.core.plan.jobs import Job
from app.core.plan.layers import draw
from app.core.plan.sharing import Split, share

SIZES = (50, 150, 300)
HEIGHTS = ("ground", "wheels", "stands", "lift")
TARGET_S = 2.0
PEOPLE = 3
Pairs = list[tuple[int, int]]


def chains(size: int, chance: Random) -> tuple[Pairs, list[str]]:
    """Ten chains with heights by chance."""
    pairs = [(at - 10, at) for at in range(10, size)]
    return pairs, [chance.choice(HEIGHTS) for _ in range(size)]


def layered(size: int, chance: Random) -> tuple[Pairs, list[str]]:
    """Layers of ten; each job waits for one to three of the layer before."""
    pairs = [
        (chance.randrange(at // 10 * 10 - 10, at // 10 * 10), at)
        for at in range(10, size)
        for _ in range(chance.randint(1, 3))
    ]
    return pairs, [chance.choice(HEIGHTS) for _ in range(size)]


def wide(size: int, chance: Random) -> tuple[Pairs, list[str]]:
    """Hardly anything waits."""
    pairs = [tuple(sorted(chance.sample(range(size), 2))) for _ in range(size // 10)]
    return [(a, b) for a, b in pairs], [chance.choice(HEIGHTS) for _ in range(size)]


def series_parallel(size: int, chance: Random) -> tuple[Pairs, list[str]]:
    """One after the other or side by side, down to single jobs."""

    def grow(first: int, last: int, pairs: Pairs) -> tuple[list[int], list[int]]:
        if last - first == 1:
            return [first], [first]
        cut = chance.randrange(first + 1, last)
        (a, b), (c, d) = grow(first, cut, pairs), grow(cut, last, pairs)
        if chance.random() < 1 / 2:
            pairs += [(x, y) for x in b for y in c]
            return a, d
        return a + c, b + d

    found: Pairs = []
    grow(0, size, found)
    return found, [chance.choice(HEIGHTS) for _ in range(size)]


def hostile(size: int, _: Random) -> tuple[Pairs, list[str]]:
    """Chains that interleave heights: each goes round through all of them in another order."""
    rounds = list(permutations(HEIGHTS))
    rounds = rounds[: max(2, min(len(rounds), size // 12))]
    heights = [rounds[at % len(rounds)][at // len(rounds) % len(HEIGHTS)] for at in range(size)]
    return [(at - len(rounds), at) for at in range(len(rounds), size)], heights


FAMILIES: tuple[Callable[[int, Random], tuple[Pairs, list[str]]], ...] = (
    chains, layered, wide, series_parallel, hostile,
)  # fmt: skip


def jobs_from(pairs: Pairs, heights: list[str], chance: Random) -> list[Job]:
    after: dict[int, set[str]] = {at: set() for at in range(len(heights))}
    for before, at in pairs:
        after[at].add(str(before))
    return [
        Job(
            str(at), height, chance.randrange(5, 90), chance.choice((1, 1, 1, 2)),
            f"zone {chance.randrange(12)}", frozenset(after[at]),
        )
        for at, height in enumerate(heights)
    ]  # fmt: skip


def timed(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def sorting_time(jobs: list[Job]) -> float:
    """Return what sorting the same graph takes, the best of five."""
    graph = {job.id: job.after for job in jobs}
    return min(timed(lambda: list(TopologicalSorter(graph).static_order())) for _ in range(5))


def rows() -> Iterator[tuple[str, float]]:
    for family in FAMILIES:
        for size in SIZES:
            chance = Random(f"{family.__name__} {size}")  # noqa: S311 - the same graphs in every run
            jobs = jobs_from(*family(size, chance), chance)
            plain = sorting_time(jobs)
            start = time.process_time()
            plan = fewest_changes(jobs)
            heights = time.process_time() - start
            start = time.process_time()
            split = share(jobs, PEOPLE)
            sharing = time.process_time() - start
            if not isinstance(split, Split):
                raise TypeError(split)
            after = {job.id: job.after for job in jobs}
            drawing = timed(lambda after=after: draw(after, list(after)))  # type: ignore[misc] # bound now
            sure = "exact" if plan.proved else f"bound {plan.bound}"
            told = (
                f"{family.__name__:16}{size:5}{plan.changes:8} {sure:10}{changes_in(jobs):8}"
                f"{heights:9.3f}{heights / plain:9.0f}"
                f"{split.makespan:8}{split.makespan / split.bound:7.2f}{sharing:9.3f}{sharing / plain:8.0f}"
                f"{drawing:9.3f}"
            )
            yield told, heights


def main() -> int:
    print(  # noqa: T201 - the figures are the result
        "family           jobs changes sure       reverse  seconds   x sort"
        "  makespan /bound seconds  x sort drawn s"
    )
    slowest = 0.0
    for text, seconds in rows():
        print(text, flush=True)  # noqa: T201 - the figures are the result
        slowest = max(slowest, seconds)
    print(f"slowest plan of heights: {slowest:.2f} s, target at most {TARGET_S} s")  # noqa: T201 - as above
    return 0 if slowest <= TARGET_S else 1


if __name__ == "__main__":
    sys.exit(main())
