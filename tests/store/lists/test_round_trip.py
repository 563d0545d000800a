"""What a list carries goes out and comes in again, column by column as they are declared."""

import csv
import io
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.core.builds.list_export import export_list
from app.core.builds.order_lines import order_lines
from app.core.csv_lines import write_line
from app.core.items.items import DETAIL
from app.core.items.kinds import ITEM_KINDS, Kind
from app.core.lists import columns
from app.core.lists.column import Column, Of, OnStep
from app.core.lists.columns import Columns
from app.core.lists.forms import Choice, Text, Torque, Verbatim, Whole
from app.core.lists.forms import Path as PlacePath
from app.core.lists.lists import read_list_text
from app.core.lists.thread_cells import LengthOfThread, Threaded
from app.core.lists.torque_cells import ReadAs, WholePrint
from tests.store.garage import Garage, fresh_garage
from tests.store.lists.taking import bare, read, take

QUICK = settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
NAMES = st.sampled_from(["Pump", "=Lid", "Küche, groß", 'the "big" one', "-4", "'x", "a;b", "エンジン"])
WORDS = st.sampled_from(["p. 3", "=1+1", " @x", "a, b; c", "Top", "'+5", "two  blanks"])
KINDS = st.sampled_from(
    [
        *("part", "fastener: nut", "fastener", "connection: coolant hose", "locator", "locator: dowel"),
        *("temporary: rag", "fluid: oil", "finding", "finding: hairline"),
    ]
)


def cells_of(column: Column) -> st.SearchStrategy[str]:  # noqa: C901, PLR0911 - one form, one line
    """Return the cells that a column takes, by the form that it is declared with."""
    match column.form:
        case Choice() as choice:
            return st.sampled_from([word for word in choice.words if word not in {"x", "1", "?"}])
        case Whole() as whole:
            return st.integers(whole.low, min(whole.high, whole.low + 7)).map(str)
        case Threaded():
            return st.sampled_from(["M8x1.25", "M10 x 1,5", "3/8-16", "M12"])
        case LengthOfThread():
            return st.sampled_from(["30", "31,75", "40 mm"])
        case Torque():
            return st.sampled_from(["25 N·m", "8,5 kgf·m", "30 N·m + 90°", "no figure"])
        case WholePrint():
            return st.just("25 N·m or 30 N·m")
        case ReadAs():
            return st.sampled_from(["25 N·m", "30 N·m; 90°"])
        case PlacePath():
            return st.sampled_from(["bag 1 → crate", "crate", "bag 2", "bag 2 → crate → shed"])
        case Verbatim(lines=True):
            return st.sampled_from(["two\nlines", "=1", "plain", "-"])
        case Text():
            return WORDS.map(lambda words: words[: column.longest])
        case _:
            pytest.fail(f"no cells are known here for «{column.name}»")


def free(of: Of) -> list[Column]:
    """Return the columns of an owner that any of its rows may fill or not."""
    return [c for c in columns.TABLE.all if c.of is of and c.name not in {"id", "kind", "name", "step"}]


@st.composite
def lists(draw: st.DrawFn) -> list[dict[str, str]]:
    """Rows of a list without a circle: a row ties only rows before it."""
    some = {of: {c.name: cells_of(c) for c in free(of)} for of in (Of.STEP, Of.ITEM, Of.DETAIL)}
    steps = draw(st.lists(st.sampled_from(["Drain", "Fuel", "Lift", "Fill"]), unique=True, max_size=4))
    rows: list[dict[str, str]] = [
        {"step": step, "kind": "step", **draw(st.fixed_dictionaries({}, optional=some[Of.STEP]))}
        for step in steps
    ]
    for n in range(draw(st.integers(1, 7))):
        row = {"id": f"r{n}", "kind": draw(KINDS), "name": f"{draw(NAMES)} {n}"}
        row |= draw(st.fixed_dictionaries({}, optional=some[Of.ITEM] | some[Of.DETAIL]))
        if "torque_print" in row and "torque" in row:
            row["torque"] = "30 N·m"
        if steps:
            row["step"] = draw(st.sampled_from(steps))
        apart = {"replaces", *columns.OPENINGS}
        if n and (ties := [tie.name for tie in columns.TABLE.ties if tie.name not in apart]):
            row[draw(st.sampled_from(ties))] = f"r{draw(st.integers(0, n - 1))}"
        rows.append(row)
    return rows


def text_of(rows: list[dict[str, str]]) -> str:
    heads = list(dict.fromkeys(column for row in rows for column in row))
    return "".join(map(write_line, (heads, *([row.get(head, "") for head in heads] for row in rows))))


def table_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def plan_of(garage: Garage) -> dict[str, Any]:
    """Return what a list carries of a build, without its ids."""
    build = garage.now()
    name = {item_id: entry.item.name for item_id, entry in build.entries.items()}
    zone = {z.id: (z.key, z.label, z.level) for z in build.zones} | {"": ("", "", "")}
    return {
        "steps": [(s.name, s.height, s.people, s.minutes, s.direction) for s in build.steps],
        "items": [
            (
                e.item.kind, e.item.name, e.item.n, e.item.note, e.item.detail, zone[e.item.zone],
                build.step[e.item.step].name if e.item.step else "", e.state.destiny.value,
                build.place_path(e.state.place.value), e.item.critical, e.item.owner, e.item.system,
            )
            for e in sorted(build.items, key=lambda e: e.state.off_seq)
        ],
        "after": sorted((name[s.item], name[s.after], s.reason) for s in build.goes_after),
        "edges": sorted((name[e.frm], e.rel, name[e.to]) for e in build.edges),
        "order": [(line.name, line.step, line.torque, line.blocked_by) for line in order_lines(build)],
    }  # fmt: skip


@QUICK
@given(rows=lists())
def test_an_export_read_into_an_empty_build_gives_the_same_plan(
    rows: list[dict[str, str]], template: Path
) -> None:
    with fresh_garage(template) as first, fresh_garage(template) as second:
        take(bare(first), text_of(rows))
        text = export_list(first.now())
        take(bare(second), text)

        assert plan_of(second) == plan_of(first)
        assert export_list(second.now()) == text


FILLED = {
    "id": "a", "step": "Fuel", "height": "lift", "people": "2", "minutes": "15", "direction": "off_only",
    "zone": "Roof", "kind": "fastener: nut", "name": "Nuts", "count": "4", "thread": "M8x1.25",
    "length_mm": "30", "grade": "8.8", "torque": "25 N·m", "torque_source": "p. 3", "threadlock": "medium",
    "torque_note": "cold", "torque_print": "25 N·m or 30 N·m", "torque_read_as": "25 N·m; 90°",
    "holds": "b", "joins": "b", "covers": "b", "one_time": "yes", "disposition": "left_out",
    "place": "bag 1 → crate", "note": "look\ntwice", "owner": "gearbox", "system": "coolant", "seals": "d",
    "closes": "d", "goes_back_after": "b", "goes_back_because": "page 12", "replaces": "c",
    "side": "stays_off", "side_because": "no room",
}  # fmt: skip
OTHERS = [
    {"id": "b", "kind": "part", "name": "Lid"},
    {"id": "c", "kind": "part", "name": "Old"},
    {"id": "d", "kind": "part", "name": "Cover"},
]
OWN_NUMBERS = {"a": "1", "b": "2", "c": "3", "d": "4"}


def test_each_declared_column_goes_in_and_comes_out(garage: Garage) -> None:
    take(bare(garage), text_of([FILLED, *OTHERS]))
    step, row, *_ = table_of(export_list(garage.now()))
    of_step = {column.name for column in columns.TABLE.of_step}

    assert set(FILLED) == set(columns.TABLE.names)
    for name, cell in FILLED.items():
        found = (step if name in of_step else row)[name]
        assert found == OWN_NUMBERS.get(cell, cell), name


@pytest.mark.parametrize("column", [c for c in columns.TABLE.all if c.kinds != ITEM_KINDS or c.beside])
@pytest.mark.parametrize("kind", [kind for kind in ITEM_KINDS if kind is not Kind.FASTENER])
def test_a_cell_that_the_kind_has_no_field_for_is_said_and_comes_out_again(
    column: Column, kind: Kind, garage: Garage
) -> None:
    rows = [{"kind": kind.value, "name": "x", column.name: FILLED[column.name]}]
    plan = read(text_of(rows))
    take(bare(garage), text_of(rows))

    assert [remark.code for remark in plan.remarks] == ["in-note"]
    assert f"{column.words}: {FILLED[column.name]}" in plan.remarks[0].message
    assert table_of(export_list(garage.now()))[0][column.name] == FILLED[column.name]


@pytest.mark.parametrize("column", [c for c in columns.TABLE.all if c.of in {Of.ITEM, Of.DETAIL, Of.TIE}])
def test_a_cell_in_the_row_of_a_step_is_read_refused_or_said(column: Column) -> None:
    if column.name in {"kind", "name"}:
        return
    step = {"step": "S", "kind": "step", column.name: FILLED[column.name]}
    found = read_list_text(text_of([*OTHERS, step]))

    if isinstance(found, tuple):
        assert column.on_step is OnStep.REFUSED
        assert [(p.code, p.where) for p in found] == [("step-has-none", f"line 5, {column.name}")]
    else:
        said = [(r.code, r.where) for r in found.remarks]
        passed = [("passed-over", f"line 5, {column.name}")]
        assert said == (passed if column.on_step is OnStep.PASSED_OVER else [])


@pytest.mark.parametrize("column", columns.TABLE.all, ids=columns.TABLE.names)
def test_a_declared_column_fills_a_field_that_there_is(column: Column) -> None:
    if column.of is Of.DETAIL:
        assert all(hasattr(DETAIL[kind](), column.field) for kind in column.kinds)
    assert column.about
    assert column.name == column.name.lower().replace(" ", "_")


WASHERS = Column(
    "washers", "from the head down", Of.DETAIL, "washers", Text(), longest=20, kinds=(Kind.FASTENER,),
    also=("washer_stack",),
)  # fmt: skip


@pytest.fixture
def with_washers(monkeypatch: pytest.MonkeyPatch) -> Columns:
    table = replace(columns.TABLE, all=(*columns.TABLE.all, WASHERS))
    monkeypatch.setattr(columns, "TABLE", table)
    return table


@pytest.mark.usefixtures("with_washers")
def test_one_declaration_is_enough_for_a_new_column(garage: Garage) -> None:
    lines = ("kind,name,Washer Stack,note", "bolt,B,flat,", "part,P,spring,heavy")
    take(bare(garage), *lines)
    by_name = {entry.item.name: entry.item for entry in garage.now().items}
    rows = table_of(export_list(garage.now()))

    assert getattr(by_name["B"].detail, "washers", "") == "flat"
    assert by_name["P"].note == "heavy\nwashers: spring"
    assert [r.message for r in read(*lines).remarks] == [
        "A part has no field for this, so its note says «washers: spring»."
    ]
    assert [(row["washers"], row["note"]) for row in rows] == [("flat", ""), ("spring", "heavy")]


@pytest.mark.usefixtures("with_washers")
def test_a_new_columns_cells_are_checked_and_steps_have_none() -> None:
    found = read_list_text(f"step,kind,washers\nA,bolt,{'w' * 21}\nA,step,flat\n")

    assert isinstance(found, tuple)
    assert [(p.where, p.code) for p in found] == [
        ("line 2, washers", "too-long"),
        ("line 3, washers", "step-has-none"),
    ]


@QUICK
@given(rows=st.data())
@pytest.mark.usefixtures("with_washers")
def test_a_new_column_survives_going_out_and_in(rows: st.DataObject, template: Path) -> None:
    drawn = rows.draw(lists())
    drawn[-1] |= {"washers": rows.draw(cells_of(WASHERS))} if drawn[-1]["kind"] != "step" else {}
    with fresh_garage(template) as first, fresh_garage(template) as second:
        take(bare(first), text_of(drawn))
        text = export_list(first.now())
        take(bare(second), text)

        assert "washers" in text.splitlines()[0]
        assert export_list(second.now()) == text
