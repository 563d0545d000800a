"""How long the rest will take: a range, from the minutes of taking off and from what has been put back."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import exp, log, sqrt

from app.core.problem import Problem

UNKNOWN_FACTOR = 1.8
"""By how much the minutes of one step miss while nothing has been put back. A rule of this product."""

COUNTS_AS_STEPS = 2
"""As how many finished steps that went just as planned the plan itself counts. A rule of this product."""

MOST_OFF = 4.0
"""A step that took more than 4 times as long, or less than a quarter, counts as just that. A rule too."""


@dataclass(frozen=True, slots=True)
class StepMinutes:
    """One step.

    Args:
        planned: As the plan has it, [min], at least 0.
        off: Recorded at taking off, [min]; `None` where not.
        on: Recorded at putting back, [min]; only for a step that is finished, `None` otherwise.
        left: The part of the step that is still to do, 0 to 1.
    """

    id: str
    planned: int
    off: int | None = None
    on: int | None = None
    left: float = 1.0

    @property
    def expected(self) -> int:
        """What putting back the whole step is reckoned at, [min]: as long as taking off, if recorded."""
        return self.off or self.planned


@dataclass(frozen=True, slots=True)
class Range:
    """Minutes for the rest, one step after the other.

    Args:
        low, likely, high: [min].
        ratio: How long putting back takes beside what was expected, as used [-].
        learned_from: How many finished steps it was learned from.
    """

    low: int
    likely: int
    high: int
    ratio: float
    learned_from: int


def minutes_left(steps: Iterable[StepMinutes]) -> Range | tuple[Problem, ...]:
    """Return how long the rest takes, or what is wrong with the minutes.

    The rule, which is this product's own and has no source: each step is reckoned at the minutes recorded
    at taking it off, or else at the plan's. That is multiplied by the geometric mean of recorded over
    expected minutes of the finished steps, where the plan counts as two more steps that went as expected.
    The range is that divided and multiplied by a factor: e to the spread of the logarithms of those
    ratios, where the two count with the logarithm of 1.8. So it is wide at first (1.8 to either side) and
    becomes as narrow as the steps are alike. It is the spread of a single step and therefore rather wide
    for many: steps of one evening are late together.
    """
    given = tuple(steps)
    if problems := tuple(p for step in given for p in _wrong_with(step)):
        return problems
    logs = [log(_ratio(step.on, step.expected)) for step in given if step.on and step.expected]
    weight = len(logs) + COUNTS_AS_STEPS
    mean = sum(logs) / weight
    squares = COUNTS_AS_STEPS * log(UNKNOWN_FACTOR) ** 2 + sum((each - mean) ** 2 for each in logs)
    factor = exp(sqrt(squares / weight))
    likely = exp(mean) * sum(step.expected * step.left for step in given)
    return Range(round(likely / factor), round(likely), round(likely * factor), exp(mean), len(logs))


def _ratio(recorded: int, expected: int) -> float:
    return min(MOST_OFF, max(1 / MOST_OFF, recorded / expected))


def _wrong_with(step: StepMinutes) -> Iterable[Problem]:
    if any(minutes is not None and minutes < 0 for minutes in (step.planned, step.off, step.on)):
        yield Problem("minutes-negative", "Minutes are at least 0.", step.id)
    if not 0 <= step.left <= 1:
        yield Problem("left-outside", "What is left of a step is between nothing and all of it.", step.id)


LONGEST_GAP = 20 * 60
"""A gap between two marks above this is a break, [s]. A rule of this product."""

FEWEST_GAPS = 2
"""With fewer gaps nothing can be said. A rule of this product."""


def time_at_work(moments: Iterable[float]) -> float:
    """Return the seconds of work behind some marks, without the breaks; 0 where too few tell.

    The rule, this product's own: the mean gap between marks, breaks left out, times the number of marks,
    since the work before each first mark is not seen.

    Args:
        moments: When something was marked, [s], in any order.
    """
    ordered = sorted(moments)
    gaps = [gap for a, b in pairwise(ordered) if (gap := b - a) <= LONGEST_GAP]
    return sum(gaps) / len(gaps) * len(ordered) if len(gaps) >= FEWEST_GAPS else 0.0
