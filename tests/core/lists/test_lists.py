import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.items.items import Connection, Edge, Fastener, Finding, Item, Locator
from app.core.items.kinds import ITEM_KINDS, Kind
from app.core.lists.columns import TABLE
from app.core.lists.listed import ListedItem, ListPlan
from app.core.lists.lists import read_list, read_list_text
from app.core.lists.vocabulary import KIND_WORDS
from app.core.problem import Problem
from app.store.db.files import bundled

COLUMNS = tuple(column.name for column in TABLE.all if column.always)


def plan(*lines: str) -> ListPlan:
    found = read_list_text("\n".join(lines))
    assert isinstance(found, ListPlan), found
    return found


def item(head: str, row: str) -> ListedItem:
    (found,) = plan(head, row).items
    return found


def wrong(*lines: str) -> list[tuple[str, str]]:
    """Return where something is wrong, and the code of what it is."""
    found = read_list_text("\n".join(lines))
    assert isinstance(found, tuple), found
    return [(problem.where, problem.code) for problem in found]


def message(*lines: str) -> str:
    found = read_list_text("\n".join(lines))
    assert isinstance(found, tuple)
    return found[0].message


def test_a_row_with_all_columns_is_read() -> None:
    found = plan(
        "id,step,height,people,minutes,direction,zone,kind,name,count,thread,length_mm,grade,torque,"
        "torque_source,holds,joins,covers,one_time,disposition,place,note",
        "a,Pump off,stands,2,40,both,front,part,Pump,,,,,,,,,,,transfer,crate 1,heavy",
        'b,Pump off,,,,,front,bolt,B,3,M8x1.25,"30,5",8.8,"2,2 kgf·m",p. 9,a,,,yes,left out,bag 2 → crate 1,',
    )  # fmt: skip

    assert [(s.name, s.height, s.people, s.minutes, s.direction) for s in found.steps] == [
        ("Pump off", "stands", 2, 40, "both")
    ]
    pump, bolts = found.items
    assert (pump.kind, pump.step, pump.zone, pump.destiny) == (Kind.PART, "Pump off", "front", "transfer")
    assert (pump.place, pump.note) == (("crate 1",), "heavy")
    assert (bolts.n, bolts.destiny, bolts.place) == (3, "left_out", ("bag 2", "crate 1"))
    assert bolts.detail == Fastener(
        "M8x1.25x30.5", "8.8", one_time="yes", torque="2,2 kgf·m", torque_source="p. 9"
    )
    assert found.edges == (Edge("b", "holds", "a"),)
    assert found.remarks == ()


@pytest.mark.parametrize(
    ("kind", "is_kind", "item_type"),
    [
        *((kind.value, kind, "") for kind in ITEM_KINDS),
        ("Bolts", Kind.FASTENER, ""),
        ("nut", Kind.FASTENER, "nut"),
        ("connector", Kind.CONNECTION, "electrical connector"),
        ("hose", Kind.CONNECTION, "hose"),
        ("Ground-Strap", Kind.CONNECTION, "ground strap"),
        ("connection: oil or breather line", Kind.CONNECTION, "oil or breather line"),
        ("locator: dowel", Kind.LOCATOR, "dowel"),
        ("fluid: coolant", Kind.FLUID, "coolant"),
        ("fastener: 12-point", Kind.FASTENER, "12-point"),
    ],
)
def test_a_kind_may_be_a_word_of_the_trade_and_carry_its_type(
    kind: str, is_kind: Kind, item_type: str
) -> None:
    found = item("kind", kind)

    assert (found.kind, Item("", 0, is_kind, detail=found.detail).type) == (is_kind, item_type)


def test_every_word_for_a_connection_names_a_sort_that_the_bench_suggests() -> None:
    suggested = json.loads((bundled("seed_data") / "vocabulary.json").read_text(encoding="utf-8"))["types"]
    sorts = {sort for kind, sort in KIND_WORDS.values() if kind is Kind.CONNECTION}

    assert sorts - set(suggested) == {"hose", "line", "cable", "pipe"}  # what runs in it is not said


def test_every_bad_row_is_named_at_its_line_in_the_file() -> None:
    lines = ("id,kind,note,torque,people", 'a,bolt,"two\nlines",25,', "a,hat,,9,", ",,x,,", "b,part,,,2")

    assert wrong(*lines) == [
        ("line 2, torque", "unit-missing"),
        ("line 4, id", "id-twice"),
        ("line 4, kind", "kind-unknown"),
        ("line 4, torque", "unit-missing"),
        ("line 5, kind", "kind-missing"),
        ("line 6, people", "step-missing"),
    ]


def test_a_cell_too_many_is_a_bad_row() -> None:
    assert wrong("kind,torque", "bolt,8,5 N·m") == [
        ("line 2", "too-many-cells"),
        ("line 2, torque", "unit-missing"),
    ]


def test_rows_that_wait_for_each_other_are_named() -> None:
    lines = ("id,kind,holds,covers", "x,part,,", "a,bolt,b,", "b,part,,c", "c,part,a,")

    assert wrong(*lines) == [("line 3", "cycle")]
    assert {"a → b → c → a", "b → c → a → b", "c → a → b → c"} & set(
        message(*lines).split(": ")[1].split(". ")
    )


def test_a_long_chain_is_no_circle_and_takes_no_age() -> None:
    rows = [f"i{n},part,i{n - 1}" for n in range(1, 20_000)]

    assert len(plan("id,kind,holds", "i0,part,", *rows).edges) == 19_999


def test_a_step_holds_nothing_and_nothing_holds_a_step() -> None:
    assert wrong("id,step,kind,holds", "s,A,step,", "a,A,part,s") == [("line 3, holds", "names-step")]
    assert wrong("id,step,kind,holds", "a,A,part,", "s,B,step,a") == [("line 3, holds", "step-has-none")]


def test_what_a_kind_has_no_field_for_is_kept_in_the_note_and_said() -> None:
    found = plan(
        "kind,name,torque,one_time,note", "hose,Feed,25 N·m,,blue", "gasket,Ring,,yes,", "part,Lid,,no,"
    )

    assert [i.note for i in found.items] == ["blue\ntorque: 25 N·m", "one time: yes", ""]
    assert [(r.code, r.where) for r in found.remarks] == [
        ("in-note", "line 2"),
        ("in-note", "line 3"),
        ("passed-over", "line 4, one_time"),
    ]
    assert "«no» was passed over" in found.remarks[2].message


def test_a_type_of_a_kind_that_has_none_is_named() -> None:
    (remark,) = plan("kind,name", "part: bracket,Left").remarks

    assert (remark.code, remark.where) == ("passed-over", "line 2, kind")
    assert "«bracket»" in remark.message


def test_a_finding_is_what_it_is_called_unless_its_kind_says_more() -> None:
    assert item("kind,name", "finding,Crack").detail == Finding(what="Crack")
    assert item("kind,name", "finding: hairline,Crack").detail == Finding(what="hairline")


def test_an_unknown_column_is_passed_over_with_a_sentence() -> None:
    (remark,) = plan("kind,price", "part,3").remarks

    assert (remark.code, remark.where) == ("column-unread", "price")


def test_bytes_that_are_no_list_give_one_problem() -> None:
    found = read_list(b"PK\x03\x04")

    assert isinstance(found, tuple)
    assert [type(problem) for problem in found] == [Problem]


def test_kinds_without_a_sort_have_their_empty_fields() -> None:
    assert item("kind", "connection").detail == Connection()
    assert item("kind", "locator").detail == Locator()


@given(
    st.one_of(
        st.binary(max_size=200), st.binary(max_size=80).map(lambda junk: b"kind,name,torque,holds\n" + junk)
    )
)
def test_any_bytes_give_a_plan_or_a_sentence(data: bytes) -> None:
    found = read_list(data)

    assert isinstance(found, ListPlan) or all(problem.message.endswith((".", "?")) for problem in found)


@given(
    st.lists(
        st.sampled_from([*COLUMNS, ",", ";", "\n", '"', "step", "bolt", "25", "M8", "-1", "é", "=", "a"])
    )
)
def test_any_mixture_of_what_lists_are_made_of_gives_a_plan_or_a_sentence(parts: list[str]) -> None:
    for text in ("".join(parts), "id,kind,step,people,thread,torque,holds\n" + "".join(parts)):
        found = read_list_text(text)

        assert isinstance(found, ListPlan) or all(problem.message for problem in found)
