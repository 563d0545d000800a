from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.plan.minutes import Range, StepMinutes, minutes_left, time_at_work

REST = StepMinutes("rest", 100)


def left(*steps: StepMinutes) -> Range:
    found = minutes_left(steps)
    assert isinstance(found, Range), found
    return found


def finished(name: str, off: int, on: int) -> StepMinutes:
    return StepMinutes(name, 60, off, on, left=0)


def test_before_anything_is_back_the_plan_stands_with_a_wide_range() -> None:
    assert left(REST) == Range(56, 100, 180, 1.0, 0)


def test_what_taking_off_took_goes_before_the_plan() -> None:
    assert left(replace(REST, off=40)).likely == 40
    assert left(replace(REST, off=40, left=0.25)).likely == 10


def test_what_is_done_corrects_what_is_left_and_the_more_the_surer() -> None:
    one = left(REST, finished("a", 30, 60))
    four = left(REST, *(finished(name, 30, 60) for name in "abcd"))
    assert 100 < one.likely < four.likely < 200
    assert four.high / four.low < one.high / one.low < 180 / 56
    assert (one.learned_from, four.learned_from) == (1, 4)


def test_steps_that_went_very_differently_leave_the_range_wide() -> None:
    alike = left(REST, *(finished(name, 30, 45) for name in "abcd"))
    unlike = left(REST, *(finished(name, 30, on) for name, on in zip("abcd", (15, 120, 20, 90), strict=True)))
    assert unlike.high / unlike.low > alike.high / alike.low


def test_one_forgotten_mark_does_not_drown_the_rest() -> None:
    assert left(REST, finished("a", 10, 6000)) == left(REST, finished("a", 10, 40))


def test_nothing_left_takes_no_time() -> None:
    assert (left(finished("a", 30, 30)).high, left().likely) == (0, 0)


minutes = st.none() | st.integers(0, 600)


@given(st.lists(st.builds(StepMinutes, st.just("x"), st.integers(0, 600), minutes, minutes, st.floats(0, 1))))
def test_low_likely_and_high_stand_in_that_order(steps: list[StepMinutes]) -> None:
    found = left(*steps)
    assert 0 <= found.low <= found.likely <= found.high
    assert 0.25 <= found.ratio <= 4


@pytest.mark.parametrize(
    ("step", "code"),
    [
        (StepMinutes("a", -1), "minutes-negative"),
        (StepMinutes("a", 1, off=-5), "minutes-negative"),
        (StepMinutes("a", 1, on=-5), "minutes-negative"),
        (StepMinutes("a", 1, left=1.5), "left-outside"),
    ],
)
def test_minutes_below_none_are_named(step: StepMinutes, code: str) -> None:
    found = minutes_left([step])
    assert isinstance(found, tuple)
    assert [(problem.code, problem.where) for problem in found] == [(code, "a")]


def test_breaks_are_not_work_and_the_first_marks_count_as_the_others() -> None:
    four_minutes_each = [0, 240, 480, 480 + 3600, 480 + 3600 + 240]
    assert time_at_work(four_minutes_each) == 5 * 240
    assert time_at_work(reversed(four_minutes_each)) == 5 * 240


def test_two_marks_tell_nothing() -> None:
    assert time_at_work([0, 240]) == time_at_work([]) == time_at_work([0, 1300, 2600]) == 0
