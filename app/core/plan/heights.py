"""The fewest changes of the vehicle's height: in which runs the jobs are done, and whether it is proved.

Whoever does all that can be done at the present height before changing it needs no more changes than
anybody else: work left behind can only be met again by coming back. So a plan is a row of heights, and
what is done after a part of the row is a set that follows from it. Of two such sets after equally many
changes the one that holds the other is at least as good, whatever the height: from the other, the next
thing is a change anyway. Work that no height of the vehicle matters to is done as soon as it can be.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot

from app.core.plan.heights_bound import Bound
from app.core.plan.jobs import Job, in_order

BEAM = 24
"""How many sets are kept a change in the first, quick search."""

WIDTH = 500
"""How many sets are kept a change in the second search; it is exact as long as they are not more.

Chosen so that the worst family of `tests/bench/bench_order.py` at 300 jobs stays under 2 s.
"""


@dataclass(frozen=True, slots=True)
class Run:
    """What is done, in this order, before the height changes; the height is empty where none matters."""

    height: str
    jobs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HeightPlan:
    """Runs of jobs.

    Args:
        runs: First to last; together a valid order of all jobs.
        changes: How often the height changes, one from the starting height to the first run included.
        bound: No plan has fewer changes than this.
    """

    runs: tuple[Run, ...]
    changes: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether no plan with fewer changes exists."""
        return self.changes == self.bound

    @property
    def order(self) -> tuple[str, ...]:
        """All jobs in the order of doing."""
        return tuple(job for run in self.runs for job in run.jobs)


def changes_in(order: Iterable[Job], start: str = "") -> int:
    """Return how often the height changes when the jobs are done in this order."""
    heights = [start] * bool(start) + [job.height for job in order if job.height]
    return sum(1 for here, there in pairwise(heights) if here != there)


def fewest_changes(
    jobs: Iterable[Job],
    *,
    start: str = "",
    places: Mapping[str, tuple[float, float]] | None = None,
    width: int = WIDTH,
) -> HeightPlan:
    """Return the plan with the fewest changes of height, proved, or the best found beside a bound.

    Within a run the nearest zone comes next: a rule of thumb, no more.

    Args:
        jobs: They wait for each other without a cycle.
        start: The height at which the vehicle stands now; empty where that is open.
        places: Where zones are, in any one unit; a zone without a place is far from all others.
        width: How many sets may be kept a change; more is slower and proves more.

    Raises:
        CycleError: The jobs wait for each other.
    """
    ordered = in_order(jobs)
    search = _Search(ordered, start)
    row, found, bound = _least(search, width)
    return HeightPlan(_runs(ordered, row, places or {}), found, bound)


def _least(search: "_Search", width: int) -> tuple[tuple[str, ...], int, int]:
    """Return a row of heights, its changes and a bound: a quick search first, then one that can prove."""
    bound = search.at_least()
    row, reached = search.rows(BEAM, most=None)
    best = row or ()
    changes = max(0, len(best) - 1)
    bound = max(bound, reached)
    if changes > bound:
        row, reached = search.rows(width, most=changes)
        if row is not None:
            best, changes = row, len(row) - 1
        bound = max(bound, min(reached, changes))
    return best, changes, bound


class _Search:
    """Sets of done jobs as bits; jobs without a height are seen through."""

    def __init__(self, ordered: Sequence[Job], start: str) -> None:
        tall = [job for job in ordered if job.height]
        bits = {job.id: 1 << at for at, job in enumerate(tall)}
        behind: dict[str, int] = {}
        for job in ordered:
            mask = 0
            for before in job.after & behind.keys():
                mask |= behind[before] | bits.get(before, 0)
            behind[job.id] = mask
        self.heights = tuple(dict.fromkeys(job.height for job in tall))
        self.jobs = {
            height: tuple((bits[j.id], behind[j.id]) for j in tall if j.height == height)
            for height in self.heights
        }
        self.all = (1 << len(tall)) - 1
        self.start = start
        self.bound = Bound([(job.height, behind[job.id]) for job in tall])

    def done_at(self, done: int, height: str) -> int:
        """Return the set after all that can be done at a height."""
        for bit, needs in self.jobs[height]:
            if not done & bit and not needs & ~done:
                done |= bit
        return done

    def first(self) -> dict[int, tuple[int, str]]:
        """Return the sets before any change."""
        if self.start:
            done = self.done_at(0, self.start) if self.start in self.jobs else 0
            return {done: (0, self.start)}
        return {self.done_at(0, height): (0, height) for height in self.heights} or {0: (0, "")}

    def at_least(self) -> int:
        """Return a bound on the changes of any row of heights."""
        return min(self.bound.of(self.all & ~done) for done in self.first())

    def rows(self, width: int, most: int | None) -> tuple[tuple[str, ...] | None, int]:
        """Search change by change.

        Args:
            width: How many sets are kept a change.
            most: Rows with as many changes or more are of no use; `None` where any is.

        Returns:
            The row of heights (`None`: there is none of use among those looked at), and a bound: the
            row's own changes, or `most`, if nothing had to be dropped.
        """
        layers = [self.first()]
        bound: int | None = None
        while self.all not in layers[-1]:
            layer = self._next(layers[-1], None if most is None else most - len(layers))
            if len(layer) > width:
                kept = sorted(layer, key=lambda done: (self.bound.of(self.all & ~done), -done.bit_count()))
                if bound is None:
                    bound = len(layers) + self.bound.of(self.all & ~kept[0])
                layer = {done: layer[done] for done in kept[:width]}
            if not layer:
                return None, most or 0 if bound is None else bound
            layers.append(layer)
        row = _row(layers, self.all)
        return row, len(layers) - 1 if bound is None else bound

    def _next(self, layer: Mapping[int, tuple[int, str]], left: int | None) -> dict[int, tuple[int, str]]:
        """Return the sets after one more change, without those that another holds."""
        found: dict[int, tuple[int, str]] = {}
        for done in layer:
            for height in self.heights:
                further = self.done_at(done, height)
                if further != done and further not in found:
                    found[further] = (done, height)
        if left is not None:
            found = {done: way for done, way in found.items() if self.bound.of(self.all & ~done) < left}
        kept: dict[int, tuple[int, str]] = {}
        for done in sorted(found, key=int.bit_count, reverse=True):
            if all(done & ~other for other in kept):
                kept[done] = found[done]
        return kept


def _row(layers: Sequence[Mapping[int, tuple[int, str]]], done: int) -> tuple[str, ...]:
    heights = []
    for layer in reversed(layers):
        done, height = layer[done]
        heights.append(height)
    return tuple(reversed(heights))


def _runs(
    ordered: Sequence[Job], row: Sequence[str], places: Mapping[str, tuple[float, float]]
) -> tuple[Run, ...]:
    """Return the row of heights with its jobs; a height at which nothing is done has no run."""
    left = list(ordered)
    runs: list[Run] = []
    zone = ""
    for height in row or ("",):
        members = _members(left, height)
        if any(job.height for job in members) or not any(job.height for job in left):
            walked = _walk(members, zone, places)
            zone = walked[-1].zone if walked else zone
            taken = {job.id for job in walked}
            left = [job for job in left if job.id not in taken]
            runs.append(Run(height, tuple(job.id for job in walked)))
    return tuple(run for run in runs if run.jobs)


def _members(left: Sequence[Job], height: str) -> list[Job]:
    """Return what can be done at a height, and what needs none, of the jobs that are left."""
    waiting = {job.id for job in left}
    found = []
    for job in left:
        if job.height in {height, ""} and not job.after & waiting:
            found.append(job)
            waiting.discard(job.id)
    return found


def _walk(jobs: Sequence[Job], zone: str, places: Mapping[str, tuple[float, float]]) -> list[Job]:
    """Return the jobs of a run, the nearest zone next, each after what it waits for."""
    left = list(jobs)
    found: list[Job] = []
    while left:
        waiting = {job.id for job in left}
        ready = [job for job in left if not job.after & waiting]
        here = zone
        job = min(ready, key=lambda job: _apart(here, job.zone, places))
        found.append(job)
        left.remove(job)
        zone = job.zone or zone
    return found


def _apart(here: str, there: str, places: Mapping[str, tuple[float, float]]) -> float:
    if here == there or not here or not there:
        return 0.0
    if here not in places or there not in places:
        return float("inf")
    (x, y), (u, v) = places[here], places[there]
    return hypot(x - u, y - v)


def keeping_runs(jobs: Iterable[Job], runs: Iterable[Run]) -> tuple[Job, ...]:
    """Return the jobs so that those of one run also wait for all of the run before; not the bench."""
    given = tuple(jobs)
    tall = {job.id for job in given if job.height}
    before: dict[str, frozenset[str]] = {}
    rows = [frozenset(run.jobs) & tall for run in runs]
    for earlier, later in pairwise(row for row in rows if row):
        before |= dict.fromkeys(later, earlier)
    return tuple(replace(job, after=job.after | before.get(job.id, frozenset())) for job in given)
