from dataclasses import replace
from typing import Any

import pytest

from app.core.checking import (
    inside_themselves,
    lines_out_of_reach,
    out_of_reach_problem,
    picture_problems,
    state_differences,
    undoing_nothing,
)
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, fold
from tests.core.items.lines import mark, undo

A, B = "a" * 64, "b" * 64
OFF = mark("1", Act.OFF)


def state() -> ItemState:
    return fold(Kind.FASTENER, 2, [OFF])


def test_a_whole_history_has_nothing_out_of_reach() -> None:
    assert lines_out_of_reach([OFF, mark("2", Act.TIGHT, after=["1"])]) == ()


def test_a_line_out_of_reach_names_all_that_it_misses_and_what_hangs_on_it_none() -> None:
    orphan = mark("2", Act.TIGHT, after=["1", "x", "y"])
    behind = mark("3", Act.OFF, after=["2"])

    found = lines_out_of_reach([OFF, behind, orphan])

    assert [(each.line.id, each.missing) for each in found] == [("2", ("x", "y")), ("3", ())]


def test_lines_that_wait_for_each_other_are_out_of_reach_and_miss_nothing() -> None:
    one, two = mark("1", Act.OFF, after=["2"]), mark("2", Act.OFF, after=["1"])

    assert [each.missing for each in lines_out_of_reach([one, two])] == [(), ()]


def test_what_is_said_of_a_line_tells_lost_from_elsewhere_from_behind() -> None:
    (found,) = lines_out_of_reach([mark("2", Act.TIGHT, after=["x", "y"])])

    lost = out_of_reach_problem(found, "#1 Pump")
    partly = out_of_reach_problem(found, "#1 Pump", elsewhere={"x"})
    elsewhere = out_of_reach_problem(found, "#1 Pump", elsewhere={"x", "y"})
    behind = out_of_reach_problem(replace(found, missing=()), "#1 Pump")

    assert lost.where == "#1 Pump"
    assert lost.message.endswith("it builds on lines x and y, which are not there.")
    assert partly.message.endswith("it builds on line y, which is not there.")
    assert elsewhere.message.endswith("it builds on lines x and y, which are about something else.")
    assert behind.message.endswith("it builds on another line that counts for nothing.")


def test_only_an_undo_of_a_line_that_is_there_undoes_something() -> None:
    good, bad = undo("2", "1", after=["1"]), undo("3", "9", after=["1"])

    assert undoing_nothing([OFF, good, bad]) == (bad,)


def test_the_same_state_has_no_differences() -> None:
    assert state_differences(state(), state()) == ()


def test_each_difference_is_named_in_plain_words() -> None:
    true = state()
    other = replace(true, positions=(true.positions[0], replace(true.positions[1], act=Act.TIGHT)), round=3)

    assert state_differences(other, true) == ("position 2", "how often it came off")
    assert state_differences(replace(true, positions=true.positions[:1]), true) == (
        "the number of its positions (1 for 2)",
    )


def altered(name: str) -> ItemState:
    """Return the state with one part that can be no true one."""
    changed: Any = {name: object()}
    return replace(state(), **changed)


@pytest.mark.parametrize("name", [name for name in ItemState.__slots__ if name != "positions"])
def test_no_part_of_a_state_is_passed_over(name: str) -> None:
    assert len(state_differences(altered(name), state())) == 1


def test_pictures_that_fit_their_rows_are_well() -> None:
    assert picture_problems({A: "photo 1"}, {A: A}) == ()


def test_each_fault_of_a_picture_has_its_own_words() -> None:
    found = picture_problems(
        {A: "photo 1", B: "photo 2", "c" * 64: "photo 3"},
        {A: B, B: "", "d" * 64: "d" * 64},
        rowless={"d" * 64},
    )

    assert [(problem.code, problem.where) for problem in found] == [
        ("photo-missing", "photo 3"),
        ("photo-unreadable", f"{B}.jpg"),
        ("photo-changed", "photo 1"),
        ("photo-without-row", "the pictures"),
    ]


@pytest.mark.parametrize(
    ("parents", "circular"),
    [
        ({}, ()),
        ({"crate": "shelf", "shelf": ""}, ()),
        ({"crate": "gone"}, ()),
        ({"shelf": "shelf"}, ("shelf",)),
        ({"bag": "crate", "crate": "shelf", "shelf": "crate"}, ("crate", "shelf")),
        ({"a": "b", "b": "a", "c": "d", "d": "c", "e": "a"}, ("a", "b", "c", "d")),
    ],
)
def test_only_places_on_the_way_round_stand_inside_themselves(
    parents: dict[str, str], circular: tuple[str, ...]
) -> None:
    assert inside_themselves(parents) == circular
