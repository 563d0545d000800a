"""Jobs: pieces of work that wait for each other, as all planning of the way back sees them."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from app.core.cycles import CycleError, find_cycle
from app.core.problem import Problem


@dataclass(frozen=True, slots=True)
class Job:
    """A piece of work that is done in one go.

    Args:
        id: Its name among the jobs.
        height: How the vehicle stands for it; empty where that does not matter (work on the bench).
        minutes: By the clock, [min], at least 0.
        people: How many it takes at once, at least 1.
        zone: Where they stand; empty where nobody is in the way of another.
        after: Ids of jobs to be done before; ids that are not among the jobs count as done.
        shares_zone: Another that says so too may go on in the same zone at the same time.
    """

    id: str
    height: str = ""
    minutes: int = 0
    people: int = 1
    zone: str = ""
    after: frozenset[str] = frozenset()
    shares_zone: bool = False


def problems_of(jobs: Iterable[Job]) -> tuple[Problem, ...]:
    """Return what makes the jobs impossible to plan; `where` is the job's id."""
    known = tuple(jobs)
    found = [problem for job in known for problem in _wrong_with(job)]
    ids = [job.id for job in known]
    found += [
        Problem("job-twice", "Stands twice among the jobs.", i) for i in sorted(set(ids)) if ids.count(i) > 1
    ]
    cycle = find_cycle({job.id: job.after - {job.id} for job in known})
    if cycle:
        found.append(Problem("cycle", f"These wait for each other: {', '.join(cycle)}.", cycle[0]))
    return tuple(found)


def _wrong_with(job: Job) -> Iterable[Problem]:
    if job.minutes < 0:
        yield Problem("minutes-negative", f"{job.minutes} minutes are fewer than none.", job.id)
    if job.people < 1:
        yield Problem("people-none", "Needs at least one person.", job.id)
    if job.id in job.after:
        yield Problem("waits-for-itself", "Waits for itself.", job.id)


def in_order(jobs: Iterable[Job]) -> tuple[Job, ...]:
    """Return the jobs so that each stands after all it waits for, else in the order given.

    Raises:
        CycleError: They wait for each other.
    """
    given = tuple(jobs)
    place = {job.id: at for at, job in enumerate(given)}
    missing = {job.id: len(job.after & place.keys()) for job in given}
    followers = followers_of(given)
    ready = [at for at, job in enumerate(given) if not missing[job.id]]
    heapify(ready)
    found: list[Job] = []
    while ready:
        job = given[heappop(ready)]
        found.append(job)
        for follower in followers[job.id]:
            missing[follower] -= 1
            if not missing[follower]:
                heappush(ready, place[follower])
    if len(found) < len(given):
        left = {job.id for job in given} - {job.id for job in found}
        raise CycleError(find_cycle({job.id: job.after & left for job in given if job.id in left}))
    return tuple(found)


def followers_of(jobs: Iterable[Job]) -> dict[str, tuple[str, ...]]:
    """Return for each job the ids that wait for it."""
    given = tuple(jobs)
    found: dict[str, list[str]] = {job.id: [] for job in given}
    for job in given:
        for before in job.after & found.keys():
            found[before].append(job.id)
    return {key: tuple(values) for key, values in found.items()}


def longest_to_the_end(jobs: Sequence[Job], length: Callable[[Job], int]) -> dict[str, int]:
    """Return for each job the greatest length of a path that begins with it.

    Args:
        jobs: In an order in which each stands after all it waits for.
        length: Of one job, at least 0.
    """
    followers = followers_of(jobs)
    found: dict[str, int] = {}
    for job in reversed(jobs):
        found[job.id] = length(job) + max((found[f] for f in followers[job.id]), default=0)
    return found


def only_nearest(after: Mapping[str, frozenset[str]], order: Sequence[str]) -> dict[str, frozenset[str]]:
    """Return what each waits for without what follows from the rest: the fewest lines that say the same.

    Args:
        after: Id -> ids to be done before; all of them in `order`.
        order: All ids, each after all it waits for.
    """
    bit = {node: 1 << at for at, node in enumerate(order)}
    behind: dict[str, int] = {}
    nearest: dict[str, frozenset[str]] = {}
    for node in order:
        implied = 0
        for before in after[node]:
            implied |= behind[before]
        nearest[node] = frozenset(before for before in after[node] if not implied & bit[before])
        behind[node] = implied | sum(bit[before] for before in nearest[node])
    return nearest


def parts_of(
    order: Sequence[str], group: Mapping[str, str], predecessors: Mapping[str, Iterable[str]]
) -> tuple[tuple[str, ...], ...]:
    """Return things gathered to jobs by their group, so that no jobs wait for each other crosswise.

    A group stays whole where it can. Groups that wait for each other are cut: things of one group that
    follow each other in the order, as seen among those groups only, stay together.

    Args:
        order: All things, each after what it waits for.
        group: Thing -> its group.
        predecessors: Thing -> things to be in before; others than those in the order are passed over.
    """
    bundle = _bundles(order, group, predecessors)
    parts: list[list[str]] = []
    last: dict[str, tuple[str, int]] = {}
    for thing in order:
        together = bundle[group[thing]]
        known = last.get(together)
        if known and known[0] == group[thing]:
            parts[known[1]].append(thing)
        else:
            last[together] = (group[thing], len(parts))
            parts.append([thing])
    return tuple(tuple(part) for part in parts)


def _bundles(
    order: Iterable[str], group: Mapping[str, str], predecessors: Mapping[str, Iterable[str]]
) -> dict[str, str]:
    """Return for each group one that stands for it and all with which it waits crosswise."""
    ahead: dict[str, set[str]] = {group[thing]: set() for thing in order}
    for thing in order:
        ahead[group[thing]] |= {group[other] for other in predecessors.get(thing, ()) if other in group}
    reached = {start: _reached(start, ahead) for start in ahead}
    return {name: min({name} | {o for o in reached[name] if name in reached[o]}) for name in ahead}


def _reached(start: str, ahead: Mapping[str, Iterable[str]]) -> set[str]:
    found: set[str] = set()
    stack = [start]
    while stack:
        for other in ahead.get(stack.pop(), ()):
            if other not in found:
                found.add(other)
                stack.append(other)
    return found
