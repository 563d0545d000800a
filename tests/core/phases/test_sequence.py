"""Rounds, and milestones that cannot have been after those before them."""

import pytest

from app.core.phases.milestones import Verb
from app.core.phases.phases import fold_phases
from app.core.phases.registers import Place
from tests.core.phases.told import OUT, SWAP, codes, fold, tell


def test_a_rise_after_a_lift_in_opens_a_new_round_and_what_was_started_is_not_any_more() -> None:
    phases = fold(*OUT, "lift_in new", "landed new", "power_on", "first_start", "moved", "rise new")

    assert phases.states["new"].round == 2
    assert (phases.power_on, phases.first_start, phases.moved) == (False, False, False)
    assert phases.happened() == set()
    assert codes(phases) == []


def test_a_trial_fit_closes_nothing_and_the_rise_after_it_opens_a_round_like_any_other() -> None:
    phases = fold(*OUT, "lift_in new trial")
    assert phases.states["new"].trial
    assert "lift_in" not in phases.happened()
    assert fold(*OUT, "lift_in new trial", "rise new").states["new"].round == 2


def test_out_before_the_record_needs_no_rise() -> None:
    phases = fold("set_down old before")

    assert phases.place("old") is Place.BENCH
    assert phases.states["old"].left_before_record
    assert codes(phases) == []
    assert codes(fold("set_down old")) == ["not-risen"]


def test_undoing_one_keeps_the_later_ones_and_names_those_that_cannot_be_any_more() -> None:
    phases = fold(*OUT, "lift_in new", "landed new", "undo 03")

    assert phases.place("new") is Place.IN
    assert [(each.event.milestone.verb, each.code) for each in phases.untrue] == [
        (Verb.LANDED, "not-lifted-in")
    ]


@pytest.mark.parametrize(
    ("said", "code"),
    [
        (("rise old", "left old", "rise old"), "is-gone"),
        (("lift_in old",), "in-already"),
        (("lift_in new",), "other-in"),
        (("landed old",), "landed-already"),
        (("mating old gearbox",), "mated-already"),
        (("parting new gearbox",), "apart-already"),
        (("mating new gearbox",), "not-together"),
        (("rise old", "first_start"), "no-engine-in"),
        (("moved",), "not-started"),
        (("rise old", "hook_up old", "rise old"), "hangs-already"),
    ],
)
def test_a_milestone_that_contradicts_those_before_it_is_kept_and_named(
    said: tuple[str, ...], code: str
) -> None:
    phases = fold(*said)

    assert code in codes(phases)
    assert len(phases.events) == len(said)


def test_a_milestone_of_a_round_that_has_not_begun_is_named() -> None:
    lines = [tell("a", "hook_up", "old", round=3)]
    assert codes(fold_phases(SWAP, lines)) == ["round-ahead"]


@pytest.mark.parametrize("names", ["ab", "ba"])
def test_of_two_that_had_not_seen_each_other_neither_is_untrue_for_the_other(names: str) -> None:
    """Set down without having seen it rise: it may have been after the rise that another told of."""
    rise, down = tell(names[0], "rise", "old"), tell(names[1], "set_down", "old")
    assert fold_phases(SWAP, [rise, down]).untrue == ()
    landed = [tell(names[0], "landed", "old"), tell(names[1], "moved")]
    told = {each.event.milestone.verb.value: each.code for each in fold_phases(SWAP, landed).untrue}
    assert told == {"landed": "landed-already", "moved": "not-started"}
