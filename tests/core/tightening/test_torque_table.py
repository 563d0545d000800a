"""Torque values in a list: what each lacks, their order, and a pasted table in which every row is judged."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.items.items import Fastener, Item
from app.core.items.kinds import Kind
from app.core.tightening.torque_table import (
    SORTS,
    TableRow,
    find_items,
    read_table,
    remarks,
    sort_key,
    with_row,
)

BOLTS = Item("a", 1, Kind.FASTENER, "Mount bolts", detail=Fastener())
NUTS = Item("b", 2, Kind.FASTENER, "Pipe nuts", detail=Fastener())
TWIN = Item("c", 3, Kind.FASTENER, "pipe NUTS", detail=Fastener())
HOSE = Item("d", 4, Kind.CONNECTION, "Top hose")
ITEMS = (BOLTS, NUTS, TWIN, HOSE)


def codes(text: str) -> list[str]:
    return [problem.code for row in find_items(read_table(text), ITEMS) for problem in row.problems]


def test_a_group_says_what_its_torque_lacks() -> None:
    assert remarks(Fastener()) == ("No figure written yet",)
    assert remarks(Fastener(no_figure=True)) == ("No figure found",)
    assert remarks(Fastener(torque="25 N·m", torque_source="book")) == ()
    assert remarks(Fastener(torque="25 N·m", torque_source=" ")) == ("No source: unverified",)
    (unread,) = remarks(Fastener(torque="25", torque_source="book"))
    assert unread.startswith("Cannot be read. ")
    assert "N·m" in unread


@pytest.mark.parametrize("strength", ["8.8", "", "from the blue tin", "SAE grade 5.2"])
def test_a_slip_of_the_unit_is_cautioned_in_words_with_any_class_or_none(strength: str) -> None:
    group = Fastener(thread="M6x1", strength=strength, torque="88 lb·ft", torque_source="book")
    (caution,) = remarks(group)
    assert "88 lb·in would be usual" in caution
    assert remarks(Fastener(thread="M6x1", strength=strength, torque="88 lb·in", torque_source="book")) == ()


def test_a_nut_is_judged_by_the_strongest_bolt_that_its_own_class_is_made_for() -> None:
    """65 N·m on M8 is past proof for a 10.9 bolt with any friction of dry steel, not for a 12.9 one."""
    said = {
        (head, strength): remarks(
            Fastener("M8x1.25", strength, head, torque="65 N·m", torque_source="book", friction="dry")
        )
        for head in ("nut, flanged", "hex flange")
        for strength in ("8", "12", "")
    }

    assert ["would load this bolt to" in "".join(said["nut, flanged", each]) for each in ("8", "12", "")] == [
        True,
        False,
        False,
    ]
    assert "a nut 8 does not say which bolt is in it" in "".join(said["nut, flanged", "8"])
    assert said["hex flange", "8"] == said["hex flange", ""]


@given(*[st.text(max_size=25) | st.sampled_from(["M8", "9" * 40, "25 N·m", "8.8", "1e9 N·m", "0 lb·in"])] * 3)
def test_whatever_was_typed_the_remarks_and_the_order_are_words_and_an_order(a: str, b: str, c: str) -> None:
    group = Fastener(thread=a, strength=b, torque=c, torque_source=b)
    assert all(remarks(group))
    other = Item(
        "z", 9, Kind.FASTENER, "Bolt 10", detail=Fastener(thread="M8", torque="25 N·m", torque_source="9")
    )
    for by in SORTS:
        keys = [sort_key(Item("y", 8, Kind.FASTENER, c, detail=group), by, {}), sort_key(other, by, {})]
        assert sorted(keys) in (keys, keys[::-1])


@pytest.mark.parametrize(
    ("by", "order"),
    [
        ("zone", [2, 3, 1]),
        ("name", [3, 1, 2]),
        ("thread", [3, 2, 1]),
        ("torque", [1, 2, 3]),
        ("source", [2, 1, 3]),
        ("nonsense", [2, 3, 1]),
    ],
)
def test_groups_sort_by_what_is_asked_and_what_is_not_written_comes_last(by: str, order: list[int]) -> None:
    groups = [
        Item(
            "a", 1, Kind.FASTENER, "Bolt 10", detail=Fastener("?", torque="90 lb·in", torque_source="page 10")
        ),
        Item(
            "b",
            2,
            Kind.FASTENER,
            "",
            zone="low",
            detail=Fastener("M10", torque="9 lb·ft", torque_source="page 9"),
        ),
        Item("c", 3, Kind.FASTENER, "bolt 9", zone="low", detail=Fastener("M8")),
    ]
    found = sorted(groups, key=lambda item: sort_key(item, by, {"low": 0}))
    assert [item.number for item in found] == order


@pytest.mark.parametrize(
    "text",
    [
        "#1\t25 N·m\tblue book, page 9",
        " 1 ; 25 N·m ; blue book, page 9 ",
        "MOUNT BOLTS\t25 N·m\tblue book, page 9\t\t",
        '\n;;\n"Mount bolts"\t"25 N·m"\t"blue book, page 9"\r\n\r\n',
        "Item\tTorque\tSource\n#1\t25 N·m\tblue book, page 9",
    ],
)
def test_a_row_is_read_from_tabs_or_semicolons_with_or_without_quotes_and_heading(text: str) -> None:
    (row,) = find_items(read_table(text), ITEMS)
    assert (row.item, row.torque, row.source, row.problems) == (BOLTS, "25 N·m", "blue book, page 9", ())


def test_a_name_of_very_many_digits_still_has_its_place() -> None:
    for digits in ("٣" * 5000, "3" * 5000):
        assert sort_key(Item("a", 1, Kind.FASTENER, digits, detail=Fastener()), "name", {})[0] is False


def test_stages_with_semicolons_stand_in_a_cell_between_tabs() -> None:
    (row,) = read_table("#1\t20 N·m; 90°\tbook")
    assert (row.torque, row.problems) == ("20 N·m; 90°", ())


@pytest.mark.parametrize(
    ("row", "code", "says"),
    [
        ("#1;25;book", "unit-missing", "N·m"),
        ("#1;;book", "torque-missing", "unit"),
        ("#1;tight;book", "value-missing", "number with its unit"),
        ("#9;25 N·m;book", "item-unknown", "#12"),
        ("Mount;25 N·m;book", "item-unknown", "exact name"),
        (";25 N·m;book", "item-missing", "number or name"),
        ("Pipe nuts;25 N·m;book", "item-twofold", "#2, #3"),
        ("#4;25 N·m;book", "item-no-group", "fastener group"),
        ("#1;20 N·m;90°;book", "cells", "tabs"),
        ("#1;25 N·m;" + "x" * 121, "source-long", "120"),
        ("#1;" + "9" * 600 + " N·m;book", "torque-too-long", "500"),
    ],
)
def test_a_row_that_cannot_be_written_says_its_line_what_is_wrong_and_what_to_do(
    row: str, code: str, says: str
) -> None:
    (problem,) = [p for r in find_items(read_table(f"\n#2;9 N·m\n{row}"), ITEMS) for p in r.problems]
    assert problem.code == code
    assert problem.message.startswith("Line 3: ")
    assert says in problem.message


def test_an_item_named_twice_is_told_with_both_lines() -> None:
    rows = find_items(read_table("#1;25 N·m\nMount bolts;30 N·m"), ITEMS)
    assert [p.message[:7] for row in rows for p in row.problems] == ["Line 2:"]
    assert "line 1 already" in rows[1].problems[0].message
    assert codes("#1;25 N·m\n#2;25 N·m") == []


@given(st.text(alphabet="#12;\t\n\" 'x٣\x00\u2028N·m°", max_size=60))
def test_any_text_gives_rows_with_an_item_or_a_problem_in_rising_lines(text: str) -> None:
    rows = find_items(read_table(text), ITEMS)
    assert all(row.problems or row.item for row in rows)
    assert [row.line for row in rows] == sorted({row.line for row in rows})


def test_a_new_figure_takes_its_own_source_and_an_unchanged_one_keeps_the_old() -> None:
    group = Fastener(thread="M8", torque="25 N·m", torque_source="book", no_figure=True)

    def detail(torque: str, source: str) -> tuple[str, str, bool]:
        changed = with_row(BOLTS, group, TableRow(1, "#1", torque, source)).detail
        assert isinstance(changed, Fastener)
        assert changed.thread == "M8"
        return changed.torque, changed.torque_source, changed.no_figure

    assert detail("30 N·m", "sheet") == ("30 N·m", "sheet", False)
    assert detail("30 N·m", "") == ("30 N·m", "", False)
    assert detail("25 N·m", "") == ("25 N·m", "book", False)
