import pytest

from app.core.plan.heights import HeightPlan
from app.core.plan.minutes import Range
from app.core.plan.sharing import Split
from app.core.wording.plan import clock, heights_text, hours, learned_text, range_text, split_text


@pytest.mark.parametrize(
    ("minutes", "said", "on_a_clock"),
    [(0, "0 min", "0:00"), (45, "45 min", "0:45"), (60, "1 h", "1:00"), (380, "6 h 20 min", "6:20")],
)
def test_minutes_are_said_as_a_person_says_them(minutes: int, said: str, on_a_clock: str) -> None:
    assert (hours(minutes), clock(minutes)) == (said, on_a_clock)


@pytest.mark.parametrize(
    ("changes", "bound", "reverse", "said"),
    [
        (4, 4, 9, "4 changes of height, proved fewest. The plain reverse has 9: this saves 5."),
        (4, 3, 4, "4 changes of height, the best found; fewer than 3 cannot be. The plain reverse needs no more."),  # noqa: E501 - as it is read
        (1, 1, 2, "1 change of height, proved fewest. The plain reverse has 2: this saves 1."),
        (0, 0, 0, "No change of height."),
        (0, 0, 2, "No change of height. The plain reverse has 2: this saves 2."),
    ],
)  # fmt: skip
def test_heights_say_what_is_proved_and_what_it_saves(
    changes: int, bound: int, reverse: int, said: str
) -> None:
    assert heights_text(HeightPlan((), changes, bound), reverse) == said


def test_a_split_says_whether_a_shorter_one_can_be() -> None:
    assert split_text(Split((), 90, 90), 2).startswith("1 h 30 min with 2 people: no split")
    assert "the shortest found; one that keeps these heights takes at least 1 h." in split_text(
        Split((), 90, 60), 1
    )


def test_a_range_says_what_it_was_learned_from() -> None:
    fresh, wise = Range(56, 100, 180, 1.0, 0), Range(80, 120, 160, 1.2, 3)
    assert range_text(fresh) == "About 1 h 40 min: between 56 min and 3 h."
    assert learned_text(fresh, 0).startswith("From the plan’s minutes. No step is finished")
    assert learned_text(wise, 1).startswith(
        "From the minutes recorded at taking off (one step), else the plan’s minutes, times 1.2: "
        "learned from 3 steps put back."
    )
