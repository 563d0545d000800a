"""Milestones from one phone and from several, rounds, directions, what cannot have been."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.journal import Line
from app.core.phases.phases import fold_phases
from app.core.phases.registers import Place
from tests.core.phases.told import BUILD, OUT, SAME, SWAP, fold, tell


def test_the_weight_is_handed_back_when_it_has_landed() -> None:
    lifted = fold(*OUT, "lift_in new")
    assert (lifted.place("new"), lifted.states["new"].on_hook) == (Place.IN, True)
    assert lifted.happened() == {"lift_in"}
    assert fold(*OUT, "lift_in new", "mating new gearbox", "landed new").happened() == {
        "lift_in", "mating", "landed",
    }  # fmt: skip


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
    settled = Line("c", BUILD, "choose", {"of": ["a", "b"], "holds": "a"}, frozenset({"a", "b"}), "Eve")
    blind = Line("c", BUILD, "choose", {"of": ["a", "b"], "holds": "a"}, frozenset({"a"}), "Eve")

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
