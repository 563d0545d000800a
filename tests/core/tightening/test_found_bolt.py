"""A found bolt leads to the groups it can be from: the short ones first, the nearest fit first."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.items.items import Fastener, Item
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, PositionState, Register
from app.core.problem import Problem
from app.core.threads.text import Thread, parse_thread
from app.core.tightening.found_bolt import (
    Fit,
    FoundBolt,
    Group,
    group_of,
    match,
    read_found,
    read_length,
    short_of,
)


def thread(text: str) -> Thread:
    read = parse_thread(text)
    assert isinstance(read, Thread)
    return read


def group(number: int, text: str, *, short: int = 0, head: str = "") -> Group:
    item = Item(str(number), number, Kind.FASTENER, n=4, detail=Fastener(thread=text, head=head))
    return Group(item, thread(text), short)


def numbers(groups: list[Group], bolt: str, length_mm: float | None = None, head: str = "") -> list[int]:
    return [m.group.item.number for m in match(groups, FoundBolt(thread(bolt), length_mm, head))]


def test_short_groups_come_first_and_within_them_length_then_thread_then_diameter() -> None:
    groups = [
        group(1, "M8x1.25x30"),
        group(2, "M8x1x30", short=1),
        group(3, "M8x1.25x45", short=2),
        group(4, "M8x1.25x30", short=1),
        group(5, "M8x1"),
        group(6, "M8"),
        group(7, "M10x1.5x30", short=1),
    ]
    found = match(groups, FoundBolt(thread("M8x1.25x30"), 30, ""))
    assert [m.group.item.number for m in found] == [4, 3, 2, 1, 6, 5]
    assert [m.fit for m in found] == [Fit.LENGTH, Fit.THREAD, Fit.DIAMETER] * 2


@pytest.mark.parametrize(
    ("there", "bolt", "fit"),
    [
        ("M8x30", "M8x1.25", Fit.LENGTH),
        ("M8x1.25x30.4", "M8", Fit.LENGTH),
        ("M8x1.25x31", "M8", Fit.THREAD),
        ("M8x1.25x30 LH", "M8x1.25", Fit.DIAMETER),
        ("3/8-16 x 1-1/4", "3/8-16", Fit.THREAD),
        ("3/8-24", "3/8-16", Fit.DIAMETER),
        ("1/8 NPT", "1/8 NPT", Fit.THREAD),
    ],
)
def test_a_pitch_left_out_is_the_coarse_one_and_another_hand_or_pitch_is_another_thread(
    there: str, bolt: str, fit: Fit
) -> None:
    assert [m.fit for m in match([group(1, there)], FoundBolt(thread(bolt), 30, ""))] == [fit]


@pytest.mark.parametrize(("there", "bolt"), [("1/4 NPT", "1/8 NPT"), ("5/16-18", "M8"), ("M10", "M8")])
def test_another_size_or_another_family_is_not_listed(there: str, bolt: str) -> None:
    assert match([group(1, there)], FoundBolt(thread(bolt), None, "")) == ()


def test_the_head_sets_the_order_of_equal_fits_and_leaves_nothing_out() -> None:
    groups = [group(1, "M8"), group(2, "M8", head="Hex flange, 13 mm"), group(3, "M8", head="hex flange")]
    assert numbers(groups, "M8", head="HEX") == [2, 3, 1]
    assert numbers(groups, "M8", head="hex flange") == [3, 1, 2]
    assert numbers(groups, "M8", head="unheard of") == [1, 2, 3]
    assert numbers(groups, "M8") == [1, 2, 3]


@pytest.mark.parametrize(
    ("bolt", "typed", "length_mm"),
    [
        ("M8", "30", 30),
        ("M8x1.25", " 30 mm ", 30),
        ("M8", "5", 5),
        ("M8x1 LH", "30", 30),
        ("3/8-16", "1-1/4", 31.75),
        ("3/8-16", "1¼ in", 31.75),
        ("3/8-16", "3/4", 19.05),
        ("3/8-16", "30 mm", 30),
        ("M8", "22.5", 22.5),
        ("M8x1.25x30", "30", 30),
        ("M8x1.25x30", "", 30),
        ("M8", " ", None),
    ],
)
def test_a_length_is_read_in_the_unit_of_its_thread(bolt: str, typed: str, length_mm: float | None) -> None:
    assert read_length(typed, thread(bolt)) == (length_mm and pytest.approx(length_mm))


@pytest.mark.parametrize(
    "typed",
    [
        "long",
        "-30",
        "0",
        "NaN",
        "1e9",
        "30 30 x",
        "1/0",
        "1/",
        "30 mmm",
        "9" * 5000,
        "\x00",
        "٣",
    ],
)
def test_a_length_that_is_none_is_a_problem_of_its_field(typed: str) -> None:
    for bolt in ("M8", "3/8-16", "1/8 NPT"):
        read = read_length(typed, thread(bolt))
        assert isinstance(read, Problem), (bolt, read)
        assert (read.code, read.where) == ("length-unreadable", "length")


def test_two_different_lengths_are_a_problem() -> None:
    read = read_length("35", thread("M8x1.25x30"))
    assert isinstance(read, Problem)
    assert read.code == "two-lengths"


@given(st.text(max_size=30), st.sampled_from(["M8", "M8x1x20", "#10-32", "1/8 NPT"]))
def test_a_length_is_a_number_above_nought_or_nothing_or_a_problem_whatever_is_typed(
    text: str, bolt: str
) -> None:
    read = read_length(text, thread(bolt))
    assert read is None or isinstance(read, Problem) or read > 0


def state(*positions: PositionState, destiny: str = "refit") -> ItemState:
    return ItemState(positions, Register(destiny))


def test_pieces_that_are_out_or_lost_make_a_group_short_and_those_back_or_renewed_do_not() -> None:
    bolts = Item("a", 1, Kind.FASTENER, n=5, detail=Fastener(thread="M8"))
    pieces = state(
        PositionState(1, Act.OFF),
        PositionState(2, Act.TIGHT),
        PositionState(3, Act.OFF, piece="lost"),
        PositionState(4, Act.TIGHT, piece="renewed"),
        PositionState(5),
    )
    assert short_of(bolts, pieces) == 2
    assert short_of(bolts, state(PositionState(1, Act.TIGHT), PositionState(2, Act.CHECKED))) == 0


@pytest.mark.parametrize("destiny", ["left_out", "stays_on_old", "replaced"])
def test_a_group_that_nothing_goes_back_into_is_not_short(destiny: str) -> None:
    bolts = Item("a", 1, Kind.FASTENER, n=1, detail=Fastener(thread="M8"))
    assert short_of(bolts, state(PositionState(1, Act.OFF))) == 1
    assert short_of(bolts, state(PositionState(1, Act.OFF), destiny=destiny)) == 0
    assert short_of(bolts, state(PositionState(1, Act.UNUSED))) == 0


def test_only_a_fastener_group_with_a_thread_that_can_be_read_is_compared() -> None:
    on = state(PositionState(1, Act.OFF))
    found = group_of(Item("a", 1, Kind.FASTENER, detail=Fastener(thread="M8")), on)
    assert found is not None
    assert found.short == 1
    assert group_of(Item("b", 2, Kind.FASTENER, detail=Fastener(thread="blue")), on) is None
    assert group_of(Item("c", 3, Kind.FASTENER, detail=Fastener()), on) is None
    assert group_of(Item("d", 4, Kind.CONNECTION), on) is None


@pytest.mark.parametrize(
    ("typed", "length_mm", "head"),
    [
        ("M8x1.25x30", 30, ""),
        ("4 bolts M8-1.25 x 30, 8.8, Torx", 30, "six-lobe"),
        ("Capscrew, hex socket, M8x1.25x30 (4 rqr)", 30, "hexagon socket"),
        ("12-point screws M8x1.25", None, "12-point"),
    ],
)
def test_a_whole_line_of_a_parts_list_is_read_as_a_found_bolt(
    typed: str, length_mm: float | None, head: str
) -> None:
    assert read_found(typed, "", "") == FoundBolt(
        thread(f"M8x1.25{'x30' if length_mm else ''}"), length_mm, head
    )


def test_what_is_typed_of_the_head_stands_above_what_the_line_says() -> None:
    bolt = read_found("12-point screws M8x1.25", "30", "hex flange")
    assert isinstance(bolt, FoundBolt)
    assert (bolt.head, bolt.length_mm) == ("hex flange", 30)


@pytest.mark.parametrize("typed", ["12-point screws", "Lockwasher, No. 10 (8 rqr)", "", "bracket"])
def test_a_line_without_a_thread_is_a_problem_of_the_field_thread(typed: str) -> None:
    problem = read_found(typed, "", "")
    assert isinstance(problem, Problem)
    assert problem.where == "thread"


@pytest.mark.parametrize(
    ("theirs", "typed"),
    [
        ("external six-lobe", "Torx"),
        ("Torx", "six lobe"),
        ("socket (Allen)", "hex socket"),
        ("hexagon socket", "allen"),
        ("cross recess PZ", "Pozidriv"),
        ("Phillips", "cross recess"),
    ],
)
def test_a_drive_is_the_same_whatever_name_it_goes_by(theirs: str, typed: str) -> None:
    (found,) = match([group(1, "M6", head=theirs)], FoundBolt(thread("M6"), None, typed))
    assert found.same_head
