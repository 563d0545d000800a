from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.core.builds.list_export import export_list
from app.core.builds.order_lines import order_lines
from app.core.builds.snapshot import Entry
from tests.store.garage import Garage, fresh_garage
from tests.store.lists.taking import bare, take


def named(garage: Garage, name: str) -> Entry:
    return next(entry for entry in garage.now().items if entry.item.name == name)


def order(garage: Garage) -> list[str]:
    return [line.name for line in order_lines(garage.now())]


def test_items_are_off_in_the_order_of_the_rows_and_go_back_in_the_reverse(garage: Garage) -> None:
    take(bare(garage), "kind,name", "part,Lid", "hose,Feed", "bolt,Bolts")

    seqs = [named(garage, name).state.off_seq for name in ("Lid", "Feed", "Bolts")]
    assert seqs == sorted(seqs)
    assert [entry.state_key for entry in garage.now().items] == ["off", "off", "off"]
    assert order(garage) == ["Bolts", "Feed", "Lid"]


def test_what_is_held_goes_in_before_what_holds_it(garage: Garage) -> None:
    take(bare(garage), "id,kind,name,holds", "p,part,Pump,", "x,part,Lid,", "b,bolt,Bolts,p;x")

    assert order(garage) == ["Lid", "Pump", "Bolts"]
    assert [line.blocked_by for line in order_lines(garage.now())] == [[], [], ["Lid", "Pump"]]


def test_what_is_replaced_has_a_new_one_in_its_place(garage: Garage) -> None:
    effect = take(
        bare(garage), "id,kind,name,thread,torque,disposition,covers,holds",
        "g,gasket,Gasket,,,replaced,,", "m,part,Manifold,,,transfer,g,", "b,bolt,Bolts,M8,22 N·m,replaced,,m",
    )  # fmt: skip
    lines = order_lines(garage.now())

    assert effect.renewals == 2
    assert [line.name for line in lines] == ["Gasket, new", "Manifold", "Bolts, new"]
    assert [line.blocked_by for line in lines] == [[], ["Gasket, new"], ["Manifold"]]
    assert lines[2].torque == "22 N·m"


def test_two_rows_of_one_name_are_told_apart_by_their_numbers_in_the_printed_order(garage: Garage) -> None:
    take(
        bare(garage), "id,kind,name,holds", "a,part,Lid,", "b,part,lid,", "c,bolt,Bolts,a;b", "d,part,Pump,",
    )  # fmt: skip
    lines = {line.name: line for line in order_lines(garage.now())}

    assert set(lines) == {"Lid #1", "lid #2", "Bolts", "Pump"}
    assert set(lines["Bolts"].blocked_by) == {"Lid #1", "lid #2"}
    assert "after" in lines["Bolts"].words
    assert "lid #2" in lines["Bolts"].words


def test_the_same_rows_a_second_time_are_told(garage: Garage) -> None:
    take(garage, "step,kind,name", "S,part,A", "S,part,B")

    assert take(garage, "step,kind,name", "s,part,a", "S,hose,B").there == 1


def test_critical_sorts_get_their_second_look(garage: Garage) -> None:
    take(garage, "kind,name", "ground strap,G", "hose,H")

    assert (named(garage, "G").item.critical, named(garage, "H").item.critical) == (True, False)
    assert [named(garage, name).item.critical_as for name in "GH"] == ["connection", ""]


WORDS = st.sampled_from(["Pump", "=Lid", "Küche, groß", 'the "big" one', "-4", "'x", "a;b", "エンジン"])
SOMETIMES = {
    "zone": st.sampled_from(["roof", "Top", "cellar (below)", "fender_left"]),
    "count": st.integers(1, 4).map(str),
    "place": st.sampled_from(["bag 1 → crate", "crate", "bag 2", "bag 2 → crate → shed"]),
    "disposition": st.sampled_from(
        ["refit", "transfer", "replaced", "left_out", "stays_on_old", "undecided"]
    ),
    "note": st.sampled_from(["two\nlines", "=1", "plain"]),
}
FASTENING = {
    "thread": st.sampled_from(["M8x1.25", "M10 x 1,5 x 40", "3/8-16 x 1-1/4", "M12"]),
    "grade": st.sampled_from(["8.8", "SAE 5"]),
    "torque": st.sampled_from(["25 N·m", "8,5 kgf·m", "30 N·m + 90°", "no figure"]),
    "torque_source": st.just("p. 3"),
    "one_time": st.sampled_from(["yes", "no"]),
}


@st.composite
def lists(draw: st.DrawFn) -> list[dict[str, str]]:
    """Rows of a list without a circle: a row ties only rows before it."""
    steps = draw(st.lists(st.sampled_from(["Drain", "Fuel", "Lift", "Fill"]), unique=True, max_size=4))
    rows: list[dict[str, str]] = [
        {
            "step": step, "kind": "step", "height": draw(st.sampled_from(["wheels", "lift", "bench"])),
            "direction": draw(st.sampled_from(["both", "off_only", "on_only"])),
            "minutes": str(draw(st.integers(0, 90))), "people": str(draw(st.integers(1, 3))),
        }
        for step in steps
    ]  # fmt: skip
    for n in range(draw(st.integers(1, 7))):
        kind = draw(
            st.sampled_from(["part", "fastener: nut", "connection: coolant hose", "locator", "fluid: oil"])
        )
        row = {"id": f"r{n}", "kind": kind, "name": f"{draw(WORDS)} {n}"}
        row |= draw(st.fixed_dictionaries({}, optional=SOMETIMES))
        if kind == "fastener: nut":
            row |= draw(st.fixed_dictionaries({}, optional=FASTENING))
        if steps:
            row["step"] = draw(st.sampled_from(steps))
        if n:
            row[draw(st.sampled_from(["holds", "joins", "covers"]))] = f"r{draw(st.integers(0, n - 1))}"
        rows.append(row)
    return rows


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
                build.place_path(e.state.place.value), e.item.critical,
            )
            for e in sorted(build.items, key=lambda e: e.state.off_seq)
        ],
        "edges": sorted((name[e.frm], e.rel, name[e.to]) for e in build.edges),
        "order": [(line.name, line.step, line.torque, line.blocked_by) for line in order_lines(build)],
    }  # fmt: skip


@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(rows=lists())
def test_a_list_parted_by_semicolons_comes_back_from_its_export_as_the_same_plan(
    rows: list[dict[str, str]], template: Path
) -> None:
    columns = list(dict.fromkeys(column for row in rows for column in row))
    lines = [";".join(f'"{row.get(c, "").replace(chr(34), chr(34) * 2)}"' for c in columns) for row in rows]
    with fresh_garage(template) as first, fresh_garage(template) as second:
        take(bare(first), ";".join(columns), *lines)
        text = export_list(first.now())
        take(bare(second), text)

        assert plan_of(second) == plan_of(first)
        assert export_list(second.now()) == text


def test_a_rag_that_is_left_out_of_the_order_keeps_its_line_open(garage: Garage) -> None:
    take(bare(garage), "kind,name,disposition", "temporary: rag,Rag,left_out", "part,Pump,")

    assert order(garage) == ["Pump"]
    assert named(garage, "Rag").is_open
