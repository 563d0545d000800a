from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, PositionState, fold
from tests.core.items.lines import mark, say, three_phones, undo

OFF = mark("a", Act.OFF)
TIGHT = mark("b", Act.TIGHT, after=["a"], reached="25 N·m")
LOOK = mark("c", Act.CHECKED, after=["b"], person="Ben")


def state(*lines: Line, n: int = 1, kind: Kind = Kind.FASTENER) -> ItemState:
    return fold(kind, n, lines)


def only(*lines: Line) -> PositionState:
    return state(*lines).positions[0]


@given(three_phones(), st.data())
@settings(max_examples=150)
def test_the_order_of_arrival_and_repetition_change_nothing(lines: list[Line], data: st.DataObject) -> None:
    again = data.draw(st.lists(st.sampled_from(lines), max_size=6)) if lines else []
    arrived = data.draw(st.permutations(lines + again))

    assert fold(Kind.FASTENER, 4, arrived) == fold(Kind.FASTENER, 4, lines)


@given(three_phones(), st.data())
@settings(max_examples=80)
def test_a_line_that_has_not_come_yet_is_as_if_it_and_what_follows_were_not_written(
    lines: list[Line], data: st.DataObject
) -> None:
    missing = data.draw(st.sets(st.sampled_from([line.id for line in lines]))) if lines else set()
    here = [line for line in lines if line.id not in missing]
    cut = set(missing)
    for line in lines:
        if line.after & cut:
            cut.add(line.id)

    part = fold(Kind.FASTENER, 4, here)

    whole = fold(Kind.FASTENER, 4, [line for line in lines if line.id not in cut])
    assert set(part.pending) == cut - missing
    assert replace(part, pending=()) == replace(whole, positions=whole.positions[: len(part.positions)])


def test_nothing_has_happened_without_lines() -> None:
    assert only() == PositionState(1)


def test_the_last_act_and_its_doer_and_value_hold() -> None:
    seen = only(OFF, TIGHT)

    assert (seen.act, seen.person, seen.reached, seen.lines) == (Act.TIGHT, "Ada", "25 N·m", ("b",))


def test_an_undo_goes_back_to_the_act_before() -> None:
    assert only(OFF, TIGHT, undo("u", "b", after=["b"])).act is Act.OFF
    assert only(OFF, TIGHT, undo("u", "b", after=["b"]), undo("v", "u", after=["u"])).act is Act.TIGHT


def test_an_undo_of_a_line_in_the_middle_leaves_the_last_act() -> None:
    hand = mark("h", Act.HAND_TIGHT, after=["a"])
    tight = mark("t", Act.TIGHT, after=["h"])

    assert only(OFF, hand, tight, undo("u", "h", after=["t"])).act is Act.TIGHT


def test_lines_that_have_not_seen_each_other_and_differ_disagree() -> None:
    seen = only(OFF, TIGHT, mark("x", Act.HAND_TIGHT, after=["a"], person="Ben"))

    assert (seen.disagree, seen.act, seen.lines) == (True, None, ("b", "x"))


def test_lines_that_have_not_seen_each_other_and_agree_are_one_state() -> None:
    seen = only(OFF, TIGHT, mark("x", Act.TIGHT, after=["a"], person="Ben"))

    assert (seen.disagree, seen.act) == (False, Act.TIGHT)


def test_stages_that_differ_disagree() -> None:
    first = mark("x", Act.STAGE, after=["a"], stage=1)

    assert only(OFF, first, mark("y", Act.STAGE, after=["a"], stage=2)).disagree
    assert only(OFF, first, mark("y", Act.STAGE, after=["x"], stage=2)).stage == 2


def test_a_settling_line_that_names_both_settles_and_one_that_names_one_does_not() -> None:
    both = (OFF, TIGHT, mark("x", Act.HAND_TIGHT, after=["a"], person="Ben"))

    assert only(*both, mark("s", Act.TIGHT, after=["b", "x"], verb="settle", reason="seen")).act is Act.TIGHT
    assert only(*both, mark("s", Act.TIGHT, after=["b"], verb="settle", reason="seen")).disagree


def test_a_look_by_the_doer_does_not_count_and_is_said() -> None:
    own = only(OFF, TIGHT, mark("c", Act.CHECKED, after=["b"]))

    assert (own.act, own.refused_check) == (Act.TIGHT, True)


def test_a_look_by_another_counts_and_the_doer_stays_the_doer() -> None:
    seen = only(OFF, TIGHT, LOOK)

    assert (seen.act, seen.person, seen.checker) == (Act.CHECKED, "Ada", "Ben")
    assert (seen.alone, seen.refused_check, seen.reached) == (False, False, "25 N·m")


def test_a_look_by_another_counts_after_a_look_by_the_doer() -> None:
    seen = only(
        OFF, TIGHT, mark("c", Act.CHECKED, after=["b"]), mark("d", Act.CHECKED, after=["c"], person="Ben")
    )

    assert (seen.act, seen.checker, seen.refused_check) == (Act.CHECKED, "Ben", False)


def test_a_look_again_by_the_doer_alone_counts_and_is_marked_so() -> None:
    seen = only(OFF, TIGHT, mark("c", Act.CHECKED, after=["b"], alone=True))

    assert (seen.act, seen.alone) == (Act.CHECKED, True)


def test_nobody_can_look_at_work_by_nobody() -> None:
    assert only(OFF, replace(TIGHT, person=""), LOOK).act is Act.TIGHT
    assert only(OFF, TIGHT, replace(LOOK, person="")).act is Act.TIGHT


def test_a_look_at_work_that_is_not_done_does_not_count() -> None:
    early = mark("c", Act.CHECKED, after=["h"], person="Ben")

    assert only(OFF, mark("h", Act.HAND_TIGHT, after=["a"]), early).act is Act.HAND_TIGHT
    assert only(OFF, mark("c", Act.CHECKED, after=["a"], person="Ben")).act is Act.OFF
    assert only(early).act is None


def test_a_look_where_two_did_the_work_is_by_neither() -> None:
    two = (OFF, TIGHT, mark("x", Act.TIGHT, after=["a"], person="Ben"))

    assert only(*two, mark("c", Act.CHECKED, after=["b", "x"], person="Ben")).act is Act.TIGHT
    assert only(*two, mark("c", Act.CHECKED, after=["b", "x"], person="Cy")).act is Act.CHECKED


def test_a_later_off_voids_the_look_and_starts_a_second_round() -> None:
    again = mark("d", Act.OFF, after=["c"])
    reopened = state(OFF, TIGHT, LOOK, again)

    assert (reopened.positions[0].act, reopened.positions[0].checker, reopened.round) == (Act.OFF, "", 2)
    assert only(OFF, TIGHT, LOOK, again, mark("e", Act.TIGHT, after=["d"])).act is Act.TIGHT


def test_work_done_again_after_the_look_wants_a_new_look() -> None:
    assert only(OFF, TIGHT, LOOK, mark("d", Act.TIGHT, after=["c"])).act is Act.TIGHT


def test_a_look_beside_an_off_that_it_did_not_see_disagrees() -> None:
    assert only(OFF, TIGHT, LOOK, mark("d", Act.OFF, after=["b"], person="Cy")).disagree


def test_an_undone_look_is_none() -> None:
    assert only(OFF, TIGHT, LOOK, undo("u", "c", after=["c"])).act is Act.TIGHT


def test_a_second_off_without_putting_back_is_no_second_round() -> None:
    assert state(OFF, mark("b", Act.OFF, after=["a"])).round == 1


def test_marks_name_their_positions_and_the_rest_stays() -> None:
    some = mark("b", Act.TIGHT, after=["a"], pos=[1, 3])

    assert [p.act for p in state(OFF, some, n=4).positions] == [Act.TIGHT, Act.OFF, Act.TIGHT, Act.OFF]


def test_two_people_on_different_bolts_of_a_group_do_not_disagree() -> None:
    ada = mark("b", Act.TIGHT, after=["a"], pos=[1, 2])
    ben = mark("c", Act.HAND_TIGHT, after=["a"], pos=[3, 4], person="Ben")

    assert [p.disagree for p in state(OFF, ada, ben, n=4).positions] == [False] * 4


def test_two_people_on_the_same_bolt_disagree_about_that_bolt_alone() -> None:
    ada = mark("b", Act.TIGHT, after=["a"], pos=[1, 2])
    ben = mark("c", Act.HAND_TIGHT, after=["a"], pos=[2, 3], person="Ben")

    assert [p.disagree for p in state(OFF, ada, ben, n=4).positions] == [False, True, False, False]


def test_a_mark_beyond_the_counted_positions_makes_them_known() -> None:
    assert len(state(OFF, mark("b", Act.TIGHT, after=["a"], pos=[6]), n=4).positions) == 6


def test_pieces_are_told_by_position_and_the_last_word_holds() -> None:
    lost = say("b", "count", {"piece": "lost", "pos": [2]}, after=["a"])
    new = say("c", "count", {"piece": "renewed", "pos": [2]}, after=["b"])

    assert [p.piece for p in state(OFF, lost, n=2).positions] == ["", "lost"]
    assert [p.piece for p in state(OFF, lost, new, n=2).positions] == ["", "renewed"]


def test_pieces_that_two_tell_differently_disagree() -> None:
    told = (
        say("b", "count", {"piece": "lost"}, after=["a"]),
        say("c", "count", {"piece": "spare"}, after=["a"]),
    )

    assert only(OFF, *told).disagree
    assert only(*(replace(line, after=frozenset()) for line in told)).disagree


@pytest.mark.parametrize(("verb", "key"), [("dispose", "destiny"), ("fate", "fate"), ("move", "place")])
def test_a_register_takes_the_last_word_and_shows_two_that_differ(verb: str, key: str) -> None:
    first = say("a", verb, {key: "one", "reason": "why"})
    later = say("b", verb, {key: "two"}, after=["a"])

    assert getattr(state(first), key).value == "one"
    assert getattr(state(first), key).reason == "why"
    assert getattr(state(first, later), key).value == "two"
    assert getattr(state(first, replace(later, after=frozenset())), key).disagree


def test_it_came_off_when_the_newest_line_says_so() -> None:
    lines = [replace(OFF, seq=4), replace(TIGHT, seq=9), mark("d", Act.OFF, after=["b"])]

    assert state(*lines[:2]).off_seq == 4
    assert state(*lines[:2], replace(lines[2], seq=12)).off_seq == 12
    assert (state(TIGHT).off_seq, state(*lines[:2]).last_seq) == (0, 9)


def test_a_fluid_without_bleeding_can_be_looked_at_once_it_is_filled() -> None:
    lines = (
        mark("a", Act.DRAINED),
        mark("b", Act.FILLED, after=["a"]),
        mark("c", Act.CHECKED, after=["b"], person="Ben"),
    )

    assert fold(Kind.FLUID, 1, lines).positions[0].act is Act.FILLED
    assert fold(Kind.FLUID, 1, lines, work=Act.FILLED).positions[0].act is Act.CHECKED


ROUND_ONE = [
    mark("a", Act.OFF),
    say("b", "count", {"piece": "renewed"}, after=["a"]),
    mark("c", Act.TIGHT, after=["b"], reached="25 N·m"),
    mark("d", Act.CHECKED, after=["c"], person="Ben"),
]


def test_a_second_taking_off_reopens_and_voids_tight_and_checked() -> None:
    again = fold(Kind.FASTENER, 1, [*ROUND_ONE, mark("e", Act.OFF, after=["d"], reason="trial fit")])
    [position] = again.positions
    assert (position.act, position.reached, position.checker, again.round) == (Act.OFF, "", "", 2)


def test_a_second_look_from_before_it_came_off_again_does_not_count_for_the_next_round() -> None:
    lines = [*ROUND_ONE, mark("e", Act.OFF, after=["d"]), mark("f", Act.TIGHT, after=["e"])]
    assert fold(Kind.FASTENER, 1, lines).positions[0].act is Act.TIGHT


def test_a_piece_renewed_before_it_came_off_again_is_an_old_piece() -> None:
    assert fold(Kind.FASTENER, 1, ROUND_ONE).positions[0].piece == "renewed"
    second = [*ROUND_ONE, mark("e", Act.OFF, after=["d"])]
    assert fold(Kind.FASTENER, 1, second).positions[0].piece == ""
    renewed = [*second, say("f", "count", {"piece": "renewed"}, after=["e"])]
    assert fold(Kind.FASTENER, 1, renewed).positions[0].piece == "renewed"


def test_only_the_positions_that_came_off_again_ask_for_a_new_piece_again() -> None:
    lines = [*ROUND_ONE, mark("e", Act.OFF, after=["d"], pos=[2])]
    assert [p.piece for p in fold(Kind.FASTENER, 2, lines).positions] == ["renewed", ""]


def test_a_piece_that_was_lost_or_is_spare_stays_so_in_the_next_round() -> None:
    for piece in ("lost", "spare"):
        lines = [
            mark("a", Act.OFF),
            say("b", "count", {"piece": piece}, after=["a"]),
            mark("c", Act.OFF, after=["b"]),
        ]
        assert fold(Kind.FASTENER, 1, lines).positions[0].piece == piece


def test_what_was_put_aside_after_it_came_off_did_not_come_off_then() -> None:
    off = replace(OFF, seq=4)
    aside = replace(mark("b", Act.ASIDE, after=["a"]), seq=9)
    on = replace(mark("c", Act.PLACED, after=["b"]), seq=11)
    off_again = replace(mark("d", Act.OFF, after=["c"]), seq=20)
    aside_again = replace(mark("e", Act.ASIDE, after=["d"]), seq=30)

    assert state(off, aside, kind=Kind.PART).off_seq == 4
    assert state(off, aside, on, off_again, aside_again, kind=Kind.PART).off_seq == 20
