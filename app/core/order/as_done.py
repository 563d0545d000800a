"""Where the teardown went in another order than the plan: what moves if that order is taken over."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median_low

from app.core.order.acts import PlanStep, Thing


@dataclass(frozen=True, slots=True)
class AsDone:
    """The steps as the plan has them and as they were done.

    Args:
        planned: Ids of the steps, in the order of taking off.
        done: The same, in the order in which they were done; one in which nothing came off stays behind the
            one that it follows in the plan.
        moved: The fewest steps that have to move to get from one to the other.
    """

    planned: tuple[str, ...]
    done: tuple[str, ...]
    moved: tuple[str, ...]

    @property
    def differs(self) -> bool:
        """Whether there is anything to take over."""
        return bool(self.moved)


def order_as_done(steps: Iterable[PlanStep], things: Iterable[Thing]) -> AsDone:
    """Return in which order the steps were done.

    A step was done when the middle one of its things came off, so that a single late mark moves no step.
    Steps of the way back only are never done on the way off, and stay where they are.
    """
    planned = [step.id for step in sorted(steps, key=lambda step: (step.position, step.id))]
    came_off: dict[str, list[int]] = defaultdict(list)
    for thing in things:
        if thing.off_seq:
            came_off[thing.step].append(thing.off_seq)
    when = {step: median_low(came_off[step]) for step in planned if step in came_off}
    worked = [step for step in planned if step in when]
    stay = _longest_rising([when[step] for step in worked])
    moved = tuple(step for at, step in enumerate(worked) if at not in stay)
    return AsDone(tuple(planned), _taken_over(planned, when), moved)


def _taken_over(planned: Sequence[str], when: dict[str, int]) -> tuple[str, ...]:
    followers: dict[str, list[str]] = defaultdict(list)
    last = ""
    for step in planned:
        if step in when:
            last = step
        else:
            followers[last].append(step)
    heads = sorted(when, key=when.__getitem__)
    return (*followers[""], *(each for step in heads for each in (step, *followers[step])))


def _longest_rising(values: Sequence[int]) -> frozenset[int]:
    """Return the places of a longest rising row among the values."""
    tails: list[int] = []
    ends: list[int] = []
    before: list[int] = []
    for at, value in enumerate(values):
        length = bisect_left(tails, value)
        before.append(ends[length - 1] if length else -1)
        tails[length : length + 1] = [value]
        ends[length : length + 1] = [at]
    found = set()
    at = ends[-1] if ends else -1
    while at >= 0:
        found.add(at)
        at = before[at]
    return frozenset(found)
