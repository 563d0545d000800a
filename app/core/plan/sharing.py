"""A split of jobs between a few people: who does what when, and how far it may be from the shortest.

A list of jobs in some priority is laid down one by one, each as early as people and zones allow. Several
priorities are tried and the shortest result is kept. With few jobs all priorities are tried; one of them
gives a shortest split (the active schedules, of which this makes one for each list, contain one).
Otherwise the result is proved only where it equals the bound.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from app.core.plan.heights import Run, keeping_runs
from app.core.plan.jobs import Job, in_order, longest_to_the_end, problems_of
from app.core.problem import Problem

FEW = 6
"""Up to so many jobs every priority is tried."""

SOME = 60
"""Up to so many jobs each is tried as the first one."""


@dataclass(frozen=True, slots=True)
class Turn:
    """One job in the split.

    Args:
        start, end: From the beginning, [min].
        people: Who, numbered from 0.
    """

    job: str
    start: int
    end: int
    people: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Split:
    """Turns by start.

    Args:
        makespan: When the last job ends, [min].
        bound: No split of these jobs is shorter, [min].
    """

    turns: tuple[Turn, ...]
    makespan: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether no shorter split exists."""
        return self.makespan == self.bound


def problems_for(jobs: Iterable[Job], people: int) -> tuple[Problem, ...]:
    """Return why these jobs cannot be split between so many people; `where` is the job, or `people`."""
    if people < 1:
        return (Problem("people-none", "Nobody is here to do it: say at least one person.", "people"),)
    given = tuple(jobs)
    few = (job for job in given if job.people > people)
    return problems_of(given) + tuple(
        Problem("people-few", f"Needs {job.people} people, {people} {_is_or_are(people)} here.", job.id)
        for job in few
    )


def _is_or_are(number: int) -> str:
    return "is" if number == 1 else "are"


def share(jobs: Iterable[Job], people: int) -> Split | tuple[Problem, ...]:
    """Return the shortest split found, or why there is none.

    What waits is kept, nobody does two things at a time, and two jobs are in one zone at a time only if
    both say that they may.

    Args:
        jobs: What is to be done.
        people: How many are here.
    """
    given = tuple(jobs)
    if problems := problems_for(given, people):
        return problems
    ordered = in_order(given)
    bound = shortest(ordered, people)
    best: list[_Slot] | None = None
    for order in _orders(ordered):
        laid = _lay(order, people)
        if best is None or _end(laid) < _end(best):
            best = laid
        if _end(best) == bound:
            break
    slots = best or []
    if len(ordered) <= FEW:
        bound = _end(slots)
    return Split(_with_people(slots, people), _end(slots), bound)


def share_in_runs(jobs: Iterable[Job], runs: Iterable[Run], people: int) -> Split | tuple[Problem, ...]:
    """Return a split in which the vehicle stays at one height until a run is done.

    The bound is one for splits that keep these runs.
    """
    given, rows = tuple(jobs), tuple(runs)
    found = share(keeping_runs(given, rows), people)
    if not isinstance(found, Split):
        return found
    by_id = {job.id: job for job in given if job.height}
    kept = ([by_id[i] for i in run.jobs if i in by_id] for run in rows)
    bound = max(found.bound, sum(shortest(in_order(run), people) for run in kept))
    return replace(found, bound=bound)


def shortest(ordered: Sequence[Job], people: int) -> int:
    """Return a time that no split beats, [min].

    What takes so many people that nobody is left for anything else goes on alone. To that comes, for the
    rest, the greatest of: the longest path; all person-minutes over the people; what one zone takes, one
    after the other; what can only go on one at a time because it needs more than half of the people.

    Args:
        ordered: Each after all it waits for, none with more people than are here.
        people: How many are here, at least 1.
    """
    fewest = min((job.people for job in ordered), default=1)
    alone = {job.id for job in ordered if job.people + fewest > people}
    rest = [job for job in ordered if job.id not in alone]
    paths = longest_to_the_end(ordered, lambda job: 0 if job.id in alone else job.minutes)
    return sum(job.minutes for job in ordered if job.id in alone) + max(
        max(paths.values(), default=0),
        -(-sum(job.minutes * job.people for job in rest) // people),
        *(_in_zone([job for job in rest if job.zone == zone]) for zone in {j.zone for j in rest} - {""}),
        sum(job.minutes for job in rest if 2 * job.people > people),
    )


def _in_zone(jobs: Sequence[Job]) -> int:
    alone = sum(job.minutes for job in jobs if not job.shares_zone)
    return alone + max((job.minutes for job in jobs if job.shares_zone), default=0)


@dataclass(frozen=True, slots=True)
class _Slot:
    """A job with its time."""

    job: Job
    start: int

    @property
    def end(self) -> int:
        return self.start + self.job.minutes


def _end(slots: Iterable[_Slot]) -> int:
    return max((slot.end for slot in slots), default=0)


def _orders(ordered: Sequence[Job]) -> Iterator[Sequence[Job]]:
    """Yield lists to lay down, each job after all it waits for."""
    tail = longest_to_the_end(ordered, lambda job: job.minutes)
    effort = longest_to_the_end(ordered, lambda job: job.minutes * job.people)
    zone = {z: _in_zone([job for job in ordered if job.zone == z]) for z in {job.zone for job in ordered}}
    rules: list[Callable[[Job], tuple[int, ...]]] = [
        lambda _: (0,),
        lambda job: (-tail[job.id],),
        lambda job: (-effort[job.id],),
        lambda job: (-job.people, -tail[job.id]),
        lambda job: (-tail[job.id] - (zone[job.zone] if job.zone else 0),),
        lambda job: (-job.minutes, -job.people),
    ]
    if len(ordered) <= SOME:
        rules += [_led_by(first, tail) for first in ordered]
    for rule in rules:
        yield in_order(sorted(ordered, key=rule))
    if len(ordered) <= FEW:
        yield from _all_orders(tuple(ordered))


def _led_by(first: Job, tail: Mapping[str, int]) -> Callable[[Job], tuple[int, ...]]:
    return lambda job: (int(job is not first), -tail[job.id])


def _all_orders(left: tuple[Job, ...]) -> Iterator[tuple[Job, ...]]:
    if not left:
        yield ()
    waiting = {job.id for job in left}
    for job in left:
        if not job.after & waiting:
            yield from ((job, *rest) for rest in _all_orders(tuple(j for j in left if j is not job)))


def _lay(order: Iterable[Job], people: int) -> list[_Slot]:
    """Return the jobs of a list, each as early as it fits beside those before it in the list."""
    slots: list[_Slot] = []
    ends: dict[str, int] = {}
    for job in order:
        earliest = max((ends[before] for before in job.after & ends.keys()), default=0)
        slot = _Slot(job, _first_fit(job, earliest, [s for s in slots if s.end > earliest], people))
        ends[job.id] = slot.end
        slots.append(slot)
    return slots


def _first_fit(job: Job, earliest: int, slots: Sequence[_Slot], people: int) -> int:
    """Return the first time from `earliest` on at which enough are free and the zone is, for long enough."""
    changes: Counter[int] = Counter()
    for slot in slots:
        taken = people if _in_each_others_way(job, slot.job) else slot.job.people
        changes[slot.start] += taken
        changes[slot.end] -= taken
    free_from: int | None = earliest
    busy = 0
    for moment in sorted(changes):
        if free_from is not None and moment >= free_from + job.minutes:
            return free_from
        busy += changes[moment]
        if busy + job.people > people:
            free_from = None
        elif free_from is None:
            free_from = max(moment, earliest)
    return earliest if free_from is None else free_from


def _in_each_others_way(one: Job, other: Job) -> bool:
    return bool(one.zone) and one.zone == other.zone and not (one.shares_zone and other.shares_zone)


def _with_people(slots: Sequence[_Slot], people: int) -> tuple[Turn, ...]:
    """Say who does what: rather somebody who was in the zone last, else whoever has waited longest."""
    free_from = [0] * people
    was_in = [""] * people
    turns = []
    for slot in sorted(slots, key=lambda slot: (slot.start, slot.end)):
        who = _pick(slot, free_from, was_in)
        for person in who:
            free_from[person] = max(free_from[person], slot.end)
            was_in[person] = slot.job.zone or was_in[person]
        turns.append(Turn(slot.job.id, slot.start, slot.end, who))
    return tuple(turns)


def _pick(slot: _Slot, free_from: Sequence[int], was_in: Sequence[str]) -> tuple[int, ...]:
    def liking(person: int) -> tuple[bool, bool, int, int]:
        away = not slot.job.zone or was_in[person] != slot.job.zone
        return (free_from[person] > slot.start, away, free_from[person], person)

    return tuple(sorted(sorted(range(len(free_from)), key=liking)[: slot.job.people]))
