"""What is to be got: worked out from the ledger, item by item."""

from dataclasses import replace
from datetime import date

import pytest

from app.core.items.items import Detail, Fastener, Fluid, Item, Part
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.state import fold
from app.core.procurement.outstanding import Outstanding
from app.core.procurement.to_get import Need, get_lines, may_be_one_time, needs_of
from tests.core.items.lines import mark, say

BOLTS = Item("b", 1, Kind.FASTENER, "Head bolts", n=4, detail=Fastener("M10x1.5x90", "10.9", one_time="yes"))
OFF = mark("a", Act.OFF)


def needs(
    item: Item, *lines: Line, replaces: bool = False, replaced_by: bool = False
) -> list[tuple[str, str, int]]:
    state = fold(item.kind, item.positions, lines)
    return [
        (n.code, n.what, n.count) for n in needs_of(item, state, replaces=replaces, replaced_by=replaced_by)
    ]


def group(one_time: str, seal: str = "") -> Item:
    return replace(BOLTS, detail=Fastener("M10x1.5x90", one_time=one_time, threadlock=seal))


def test_one_time_pieces_are_to_be_got_until_they_are_renewed() -> None:
    assert needs(BOLTS, OFF) == [("pieces", "Head bolts: M10x1.5x90 10.9", 4)]
    renewed = say("b", "count", {"piece": "renewed", "pos": [1, 2, 3]}, after="a")
    assert needs(BOLTS, OFF, renewed) == [("pieces", "Head bolts: M10x1.5x90 10.9", 1)]


def test_a_hole_left_empty_and_bolts_still_on_need_nothing() -> None:
    assert needs(BOLTS) == []
    off = mark("a", Act.OFF, pos=[1, 2])
    assert needs(BOLTS, off) == [("pieces", "Head bolts: M10x1.5x90 10.9", 2)]
    spare = say("b", "count", {"piece": "spare", "pos": [1, 2]}, after="a")
    assert needs(BOLTS, off, spare) == []


@pytest.mark.parametrize("one_time", ["no", "unknown"])
def test_other_bolts_are_not_bought_but_what_is_not_known_is_told_apart(one_time: str) -> None:
    item = group(one_time=one_time)
    assert needs(item, OFF) == []
    assert may_be_one_time(item, fold(item.kind, 4, [OFF])) == (one_time == "unknown")


def test_a_lost_piece_is_to_be_got() -> None:
    lost = say("b", "count", {"piece": "lost", "pos": [3]}, after="a")
    assert needs(group(one_time="no"), OFF, lost) == [("lost", "Head bolts: M10x1.5x90", 1)]
    assert needs(BOLTS, OFF, lost)[0][2] == 3


@pytest.mark.parametrize(
    ("seal", "count"),
    [
        ("new gasket, dry", 1),
        ("threadlocker, medium", 1),
        ("copper washer, new", 4),
        ("new sealing ring", 4),
        ("split pin", 4),
    ],
)
def test_gaskets_and_seals_are_to_be_got_until_the_joint_is_tight(seal: str, count: int) -> None:
    item = group(one_time="no", seal=seal)
    assert needs(item, OFF) == [("seal", f"{seal}, for Head bolts", count)]
    assert needs(item, OFF, mark("b", Act.TIGHT, after="a")) == []


@pytest.mark.parametrize("seal", ["", "none", "None: dry", "patch", "stake"])
def test_what_the_bolt_brings_itself_is_not_bought(seal: str) -> None:
    assert needs(group(one_time="no", seal=seal), OFF) == []


def test_a_fluid_is_to_be_got_by_its_capacity_until_it_is_filled() -> None:
    oil = Item("o", 2, Kind.FLUID, "Engine oil", detail=Fluid("engine oil", "5W-30", 5.7))
    drained = mark("a", Act.DRAINED, litres=4.6)
    (need,) = needs_of(oil, fold(oil.kind, 1, [drained]), replaces=False, replaced_by=False)
    assert need == Need("o", "fluid", "Engine oil, 5W-30", 1, 5.7)
    unknown = replace(oil, detail=Fluid("engine oil"))
    (need,) = needs_of(unknown, fold(oil.kind, 1, [drained]), replaces=False, replaced_by=False)
    assert need.litres == 4.6
    assert needs(oil, drained, mark("b", Act.FILLED, after="a")) == []


def test_a_replacement_is_to_be_got_until_it_lies_somewhere_or_is_in() -> None:
    gasket = Item("g", 3, Kind.PART, "Intake gasket, new", detail=Part())
    assert needs(gasket, OFF, replaces=True) == [("replacement", "Intake gasket, new", 1)]
    assert needs(gasket, OFF) == []
    assert needs(gasket, OFF, say("b", "move", {"place": "f" * 32}, after="a"), replaces=True) == []
    assert needs(gasket, OFF, mark("b", Act.PLACED, after="a"), replaces=True) == []


def test_an_old_one_that_nothing_replaces_yet_is_on_the_list() -> None:
    belt = Item("t", 5, Kind.PART, "Belt", detail=Part())
    gone = say("b", "dispose", {"destiny": "replaced"}, after="a")
    assert needs(belt, OFF, gone) == [("replacement", "in the place of: Belt", 1)]
    assert needs(belt, OFF, gone, replaced_by=True) == []


@pytest.mark.parametrize("destiny", ["left_out", "stays_on_old"])
def test_for_what_does_not_go_back_nothing_is_bought(destiny: str) -> None:
    assert needs(BOLTS, OFF, say("b", "dispose", {"destiny": destiny}, after="a")) == []


def test_a_finding_and_what_was_never_used_need_nothing() -> None:
    detail: Detail = Part()
    assert needs(replace(BOLTS, kind=Kind.PART, detail=detail), mark("a", Act.UNUSED)) == []


def test_what_was_bought_for_one_round_does_not_serve_the_next() -> None:
    again = [OFF, mark("b", Act.TIGHT, after="a"), mark("c", Act.OFF, after="b")]
    assert [code for code, _, _ in needs(BOLTS, *again)] == ["pieces 2"]


def test_the_list_joins_needs_with_what_was_ordered_and_keeps_the_owners_own() -> None:
    need = Need("b", "pieces", "Head bolts", 4)
    ordered = Outstanding("1", "item:b", "get", "pieces", at_whom="a shop", since=date(2031, 5, 1))
    own = Outstanding("2", "build:x", "get", "other", "hand cleaner")
    met = Outstanding(
        "3", "item:z", "get", "seal", "a gasket", since=date(2031, 5, 1), done_on=date(2031, 5, 2)
    )
    priced = Outstanding("4", "item:z", "get", "lost", "never ordered, no longer needed")
    away = Outstanding("5", "item:b", "away")

    lines = get_lines([need], [ordered, own, met, priced, away])

    assert [(line.what, line.stage, line.needed) for line in lines] == [
        ("Head bolts", "ordered", True),
        ("hand cleaner", "to get", True),
        ("a gasket", "arrived", False),
    ]
    assert lines[0].quantity == "4 ×"
    assert lines[0].shop == "a shop"
