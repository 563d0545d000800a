"""Which lines tell of one and the same milestone, and which cannot be read."""

import pytest

from app.core.items.journal import Line
from app.core.phases.phases import fold_phases
from app.core.phases.registers import Place
from tests.core.phases.told import BUILD, OUT, SWAP, codes, fold, row, tell


def test_the_same_from_two_phones_is_one_fact_with_two_witnesses() -> None:
    lines = [tell("a", "rise", "old"), tell("b", "rise", "old", person="Ben")]
    phases = fold_phases(SWAP, lines)

    assert [event.witnesses for event in phases.events] == [{"Ada", "Ben"}]
    assert phases.disputes == ()
    assert codes(phases) == []


def test_a_late_mark_of_what_was_long_ago_changes_nothing() -> None:
    lines = [*row(*OUT), tell("z", "hook_up", "old", person="Ben")]
    phases = fold_phases(SWAP, lines)

    assert phases.place("old") is Place.BENCH
    assert phases.disputes == ()
    assert phases.events[0].witnesses == {"Ada", "Ben"}


def test_a_mark_made_twice_is_one_and_the_same_done_twice_is_two() -> None:
    assert len(fold("rise old", "rise old").events) == 1
    again = fold("rise old", "set_down old", "rise old")
    assert len(again.events) == 3
    assert again.place("old") is Place.HANGING


@pytest.mark.parametrize(
    ("line", "code"),
    [
        (tell("a", "rise", "third"), "unit-unknown"),
        (tell("a", "rise", "old", round=0), "round"),
        (tell("a", "rise", "old", round=True), "round"),
        (tell("a", "mating", "old"), "pair"),
        (tell("a", "mating", "old", "new"), "pair"),
        (tell("a", "rise"), "units"),
        (tell("a", "rise", "vehicle"), "units"),
        (tell("a", "turn", "vehicle", to="round"), "direction"),
        (Line("a", BUILD, "rise", {"units": "old"}), "units"),
    ],
)
def test_a_milestone_that_cannot_be_read_is_named_and_changes_nothing(line: Line, code: str) -> None:
    phases = fold_phases(SWAP, [line])

    assert [problem.code for problem in phases.problems] == [code]
    assert phases.events == ()
