"""Milestones from one phone and from several, rounds, directions, what cannot have been."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.journal import Line
from app.core.phases.milestones import Verb
from app.core.phases.phases import Phases, fold_phases
from app.core.phases.registers import Place
from app.core.phases.units import VEHICLE, Unit, UnitKind, Units, usual_units
from tests.core.phases.told import BUILD, row, tell

SWAP = usual_units(new_engine=True)
SAME = usual_units()
OUT = ("hook_up old", "rise old", "set_down old")


def fold(*said: str, units: Units = SWAP) -> Phases:
    return fold_phases(units, row(*said))


def codes(phases: Phases) -> list[str]:
    return [each.code for each in phases.untrue]


def test_at_first_the_old_engine_is_in_and_mated_and_the_new_one_on_the_stand() -> None:
    phases = fold()

    assert phases.place("old") is Place.IN
    assert phases.place("new") is Place.BENCH
    assert phases.is_mated("old", "gearbox") is True
    assert phases.is_mated("new", "gearbox") is False
    assert (phases.power_on, phases.first_start, phases.moved) == (False, False, False)


@pytest.mark.parametrize(
    ("said", "place", "hook"),
    [
        (("hook_up old",), Place.IN, True),
        (("hook_up old", "rise old"), Place.HANGING, True),
        (OUT, Place.BENCH, False),
        ((*OUT, "left old"), Place.GONE, False),
    ],
)
def test_a_milestone_says_where_the_engine_is_and_what_carries_it(
    said: tuple[str, ...], place: Place, hook: bool
) -> None:
    state = fold(*said).states["old"]

    assert (state.place, state.on_hook) == (place, hook)


def test_an_engine_that_rises_alone_is_apart_from_the_gearbox_that_stays() -> None:
    assert fold("rise old").is_mated("old", "gearbox") is False
    assert fold("rise old gearbox").is_mated("old", "gearbox") is True


def test_the_weight_is_handed_back_when_it_has_landed() -> None:
    lifted = fold(*OUT, "lift_in new")
    assert (lifted.place("new"), lifted.states["new"].on_hook) == (Place.IN, True)
    assert lifted.happened() == {"lift_in"}
    assert fold(*OUT, "lift_in new", "mating new gearbox", "landed new").happened() == {
        "lift_in", "mating", "landed",
    }  # fmt: skip


def test_a_rise_after_a_lift_in_opens_a_new_round_and_what_was_started_is_not_any_more() -> None:
    phases = fold(*OUT, "lift_in new", "landed new", "power_on", "first_start", "moved", "rise new")

    assert phases.states["new"].round == 2
    assert (phases.power_on, phases.first_start, phases.moved) == (False, False, False)
    assert phases.happened() == set()
    assert codes(phases) == []


def test_a_trial_fit_closes_nothing_and_opens_no_round() -> None:
    phases = fold(*OUT, "lift_in new trial")
    assert phases.states["new"].trial
    assert "lift_in" not in phases.happened()
    assert fold(*OUT, "lift_in new trial", "rise new").states["new"].round == 1


def test_out_before_the_record_needs_no_rise() -> None:
    phases = fold("set_down old before")

    assert phases.place("old") is Place.BENCH
    assert phases.states["old"].left_before_record
    assert codes(phases) == []
    assert codes(fold("set_down old")) == ["not-risen"]


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
    ("ours", "theirs", "about"),
    [
        (("rise", "old"), ("left", "old"), {("place", "old"), ("hook", "old")}),
        (("rise", "old"), ("set_down", "old"), {("place", "old"), ("hook", "old")}),
        (("mating", "new", "gearbox"), ("parting", "new", "gearbox"), {("pair", "new", "gearbox")}),
        (("rise", "old"), ("first_start",), {("first_start",)}),
    ],
)
def test_two_that_differ_are_a_dispute_until_somebody_who_saw_both_settles_it(
    ours: tuple[str, ...], theirs: tuple[str, ...], about: set[tuple[str, ...]]
) -> None:
    lines = [tell("a", *ours), tell("b", *theirs, person="Ben")]
    phases = fold_phases(SWAP, lines)
    settled = Line("c", BUILD, "settle", {"of": ["a", "b"], "holds": "a"}, frozenset({"a", "b"}), "Eve")
    blind = Line("c", BUILD, "settle", {"of": ["a", "b"], "holds": "a"}, frozenset({"a"}), "Eve")

    assert {each.about for each in phases.disputes} == about
    assert all(each.lines == ("a", "b") for each in phases.disputes)
    assert fold_phases(SWAP, [*lines, settled]).disputes == ()
    assert fold_phases(SWAP, [*lines, blind]).disputes


def test_a_disputed_place_is_no_place() -> None:
    phases = fold_phases(SWAP, [tell("a", "rise", "old"), tell("b", "left", "old")])

    assert phases.place("old") is None
    assert not phases.states["old"].is_away


def test_two_who_tell_the_same_two_in_another_order_disagree() -> None:
    lines = [
        tell("a", "rise", "old"),
        tell("b", "set_down", "old", after=["a"]),
        tell("c", "set_down", "old", person="Ben"),
        tell("d", "rise", "old", after=["c"], person="Ben"),
    ]
    assert ("place", "old") in {each.about for each in fold_phases(SWAP, lines).disputes}


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


def test_the_direction_is_of_each_unit_and_the_vehicle_is_turned_by_an_act_that_can_be_undone() -> None:
    assert [fold().direction(unit) for unit in ("old", "new", "vehicle")] == ["apart", "together", "apart"]
    turned = fold("turn vehicle to=together")
    assert turned.direction("vehicle") == "together"
    assert fold("turn vehicle to=together", "undo 00").direction("vehicle") == "apart"


def test_an_engine_that_comes_back_goes_together_once_it_is_in_again() -> None:
    away = fold("rise engine", "set_down engine", units=SAME)
    assert away.direction("engine") == "apart"
    back = fold("rise engine", "set_down engine", "lift_in engine", units=SAME)
    assert back.direction("engine") == "together"
    assert fold("lift_in engine", units=SAME).happened() == set()


def test_units_have_ids_of_their_own_and_one_is_the_vehicle() -> None:
    for known in ((VEHICLE, VEHICLE), (Unit("e", UnitKind.ENGINE),)):
        with pytest.raises(ValueError, match="vehicle"):
            Units(known)


@pytest.mark.parametrize(
    ("owner", "out", "back"),
    [
        ("old engine", "old", "new"),
        ("new engine", "new", "new"),
        ("vehicle", "vehicle", "vehicle"),
        ("gearbox", "gearbox", "gearbox"),
        ("old", "old", "new"),
        ("part", "", ""),
        ("", "", ""),
        ("subframe", "", ""),
    ],
)
def test_an_owners_word_names_a_unit_and_the_old_engines_things_are_the_new_ones_on_the_way_back(
    owner: str, out: str, back: str
) -> None:
    assert SWAP.of_owner(owner) == out
    assert SWAP.of_owner(owner, back=True) == back


SAID = st.sampled_from(
    [
        "hook_up old",
        "rise old",
        "set_down old",
        "lift_in new",
        "landed new",
        "mating new gearbox",
        "first_start",
    ]
)


@given(st.lists(st.tuples(st.integers(0, 2), st.one_of(SAID, st.just("meet"))), max_size=7))
@settings(max_examples=80)
def test_the_same_lines_give_the_same_state_however_they_came(said: list[tuple[int, str]]) -> None:
    written: list[Line] = []
    seen: dict[int, set[str]] = {0: set(), 1: set(), 2: set()}
    for nth, (phone, what) in enumerate(said):
        if what == "meet":
            seen[phone] = {line.id for line in written}
            continue
        verb, *units = what.split()
        written.append(tell(f"{nth}", verb, *units, after=seen[phone], person=f"P{phone}"))
        seen[phone].add(f"{nth}")
    first = fold_phases(SWAP, written)
    for other in list(permutations(written))[:24]:
        assert fold_phases(SWAP, [*other, *other[:2]]) == first
