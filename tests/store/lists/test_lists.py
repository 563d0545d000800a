import csv
import io
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import delete, event, select

from app.core.builds.list_export import export_list
from app.core.builds.order_lines import order_lines
from app.core.builds.snapshot import Entry
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list_text
from app.core.lists.text import COLUMNS
from app.store.db.models import Step, StepEdgeRow
from app.store.journal import check_states, last_seq
from app.store.lists.lists import Effect, effect_of, write_list
from app.store.loading import load
from app.store.plan.steps import add_step
from tests.store.garage import NOW, Garage, fresh_garage


def read(*lines: str) -> ListPlan:
    found = read_list_text("\n".join(lines))
    assert isinstance(found, ListPlan), found
    return found


def take(garage: Garage, *lines: str) -> Effect:
    """Put a list into the garage's build, and say what that did."""
    plan = read(*lines)
    with garage.database.unit_of_work() as session:
        build = load(session, 1, last_seq(session))
        assert build
        effect = effect_of(build, plan)
        line = garage.writer.line(f"build:{build.id}", "edit", {"list": effect.items})
        write_list(session, build, plan, line, writer=garage.writer, now=NOW)
    return effect


def bare(garage: Garage) -> Garage:
    """Take the starter steps out of the build."""
    with garage.database.unit_of_work() as session:
        session.execute(delete(StepEdgeRow))
        for step in session.scalars(select(Step)):
            session.delete(step)
    return garage


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


def test_the_states_written_at_once_are_those_of_the_journal(garage: Garage) -> None:
    take(
        garage,
        "kind,name,count,place,disposition",
        "bolt,B,12,bag 1 → crate,left out",
        "part,P,,crate,replaced",
    )

    with garage.database.reading() as session:
        assert check_states(session) == ()
    assert named(garage, "B").state.destiny.value == "left_out"
    assert named(garage, "B").state.destiny.reason == "as the list says"
    assert len(named(garage, "B").state.positions) == 12


def test_places_nest_and_stand_where_their_lines_say(garage: Garage) -> None:
    effect = take(
        garage, "kind,name,place", "bolt,B,bag 1 → crate → shelf", "bolt,C,bag 2 → crate", "part,D,crate"
    )
    build = garage.now()

    assert effect.places == ("shelf", "crate → shelf", "bag 1 → crate → shelf", "bag 2 → crate")
    assert build.place_path(named(garage, "B").state.place.value) == ("bag 1", "crate", "shelf")
    assert build.place_path(named(garage, "C").state.place.value) == ("bag 2", "crate", "shelf")
    assert build.place_path(named(garage, "D").state.place.value) == ("crate", "shelf")
    assert len(build.places) == 4
    assert take(garage, "kind,name,place", "bolt,E,bag 1").places == ()


def test_zones_are_found_by_key_and_by_either_sides_word_and_made_otherwise(garage: Garage) -> None:
    effect = take(
        garage, "kind,name,zone", "part,A,fender_left", "part,B,left INNER wing", "part,C,Left inner fender",
        "part,D,roof", "part,E,Roof", "part,F,cellar (below)",
    )  # fmt: skip
    build = garage.now()
    zones = [build.zone[named(garage, name).item.zone] for name in "ABCDEF"]

    assert effect.zones == ("roof", "cellar")
    assert [zone.key for zone in zones[:3]] == ["fender_left"] * 3
    assert [(zone.label, zone.level) for zone in zones[3:]] == [
        ("roof", "above"), ("roof", "above"), ("cellar", "below"),
    ]  # fmt: skip


def test_a_known_step_is_changed_and_a_new_one_stands_by_its_neighbour(garage: Garage) -> None:
    before = [step.name for step in garage.now().steps]
    effect = take(
        garage,
        "step,kind,name,height,minutes",
        "Steps of an own kind,part,A,bench,",
        f'"{before[6].upper()}",part,B,,99',
        "One more,part,C,,",
    )
    steps = garage.now().steps

    assert [s.name for s in steps] == [
        *before[:6], "Steps of an own kind", before[6], "One more", *before[7:],
    ]  # fmt: skip
    assert (effect.steps, effect.edited) == (("Steps of an own kind", "One more"), (before[6].upper(),))
    assert [(s.height, s.minutes, s.people, s.direction) for s in (steps[6], steps[8])] == [
        ("bench", 30, 1, "both"),
        ("wheels", 30, 1, "both"),
    ]
    assert (steps[7].minutes, steps[7].rev) == (99, 2)
    assert [s.position for s in steps] == list(range(len(steps)))


def test_a_step_of_a_starters_name_has_its_cautions(garage: Garage) -> None:
    name = next(step.name for step in garage.now().steps if step.cautions)
    take(bare(garage), "step,kind", f'"{name}",step')

    assert garage.now().steps[0].cautions


def test_steps_on_the_way_back_and_steps_without_items_stand_where_the_list_has_them(garage: Garage) -> None:
    take(
        bare(garage), "step,kind,name,direction", "Hood,step,,both", "Fuel,part,Tank,both",
        "Shields,step,,both", "Start,step,,on only", "Drain,step,,off only", "Lift,part,Engine,",
    )  # fmt: skip

    lines = order_lines(garage.now(), as_listed=True)
    assert [(line.name, line.kind, line.act) for line in lines] == [
        ("Engine", "part", "placed"),
        ("Start", "step", "done"),
        ("Shields", "step", "done"),
        ("Tank", "part", "placed"),
        ("Hood", "step", "done"),
    ]


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


def test_a_program_finds_what_is_new_by_the_name_that_its_row_has(garage: Garage) -> None:
    take(
        bare(garage), "id,kind,name,disposition,covers,holds", "g,gasket,Gasket,replaced,,",
        "m,part,Manifold,,g,", "b,bolt,Bolts,replaced,,m",
    )  # fmt: skip
    lines = order_lines(garage.now(), as_listed=True)

    assert [line.name for line in lines] == ["Gasket", "Manifold", "Bolts"]
    assert [line.blocked_by for line in lines] == [[], ["Gasket"], ["Manifold"]]


def test_a_torque_stands_in_the_order_and_in_the_export_whatever_the_kind(garage: Garage) -> None:
    take(
        bare(garage), "kind,name,thread,torque,torque_source,one_time,note",
        "oil line,Feed,M14,25 N·m,p. 9,yes,blue", "part,Plug,,no figure,,,",
    )  # fmt: skip
    plug, feed = order_lines(garage.now())
    rows = list(csv.DictReader(io.StringIO(export_list(garage.now()), newline="")))

    assert (feed.torque, plug.torque) == ("25 N·m", "")
    assert [rows[0][column] for column in ("thread", "torque", "torque_source", "one_time", "note")] == [
        "M14", "25 N·m", "p. 9", "yes", "blue",
    ]  # fmt: skip
    assert (rows[1]["torque"], rows[1]["note"]) == ("no figure", "")


def test_the_new_one_is_tightened_like_the_old_one_whatever_the_kind(garage: Garage) -> None:
    take(bare(garage), "kind,name,torque,disposition,note", "oil line,Feed,25 N·m,replaced,kinked")
    text = export_list(garage.now())

    (feed,) = order_lines(garage.now())
    assert (feed.name, feed.torque) == ("Feed, new", "25 N·m")
    assert text.splitlines()[0] == ",".join(COLUMNS)
    assert "new" not in text


def test_what_does_not_go_back_is_not_in_the_order(garage: Garage) -> None:
    take(
        bare(garage), "kind,name,disposition", "part,A,refit", "part,B,left_out", "part,C,stays on old",
        "part,D,undecided", "part,E,Transfer",
    )  # fmt: skip

    assert order(garage) == ["E", "D", "A"]


def test_the_same_rows_a_second_time_are_told(garage: Garage) -> None:
    take(garage, "step,kind,name", "S,part,A", "S,part,B")

    assert take(garage, "step,kind,name", "s,part,a", "S,hose,B").there == 1


def test_critical_sorts_get_their_second_look(garage: Garage) -> None:
    take(garage, "kind,name", "ground strap,G", "hose,H")

    assert (named(garage, "G").item.critical, named(garage, "H").item.critical) == (True, False)


def test_every_row_of_an_export_has_the_columns_and_no_formula(garage: Garage) -> None:
    take(bare(garage), "kind,name,note", 'part,=1+1,"a;b, c"', "nut,-x,@y")
    text = export_list(garage.now())

    assert text.splitlines()[0] == ",".join(COLUMNS)
    assert [line.split(",")[8] for line in text.splitlines()[1:]] == ['"\'=1+1"', '"\'-x"']
    assert '"a;b, c"' in text


def test_an_export_names_what_replaces_what_where_reading_it_could_not_know(garage: Garage) -> None:
    lines = ("id,kind,name,disposition,replaces", "a,part,Old,replaced,", "b,part,Another,transfer,a")
    take(bare(garage), *lines)

    text = export_list(garage.now())

    assert text.splitlines()[0] == ",".join([*COLUMNS, "replaces"])
    assert take(garage, *text.splitlines()).renewals == 0


def test_two_steps_of_one_name_are_numbered_in_an_export(garage: Garage) -> None:
    with bare(garage).database.unit_of_work() as session:
        for direction in ("both", "on_only"):
            values = {"name": "Level", "height": "lift", "people": 1, "minutes": 5, "direction": direction}
            add_step(session, garage.build, values, writer=garage.writer, now=NOW)

    found = read(*export_list(garage.now()).splitlines())

    assert [(s.name, s.direction) for s in found.steps] == [("Level", "both"), ("Level (2)", "on_only")]


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
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(rows=lists())
def test_an_export_read_into_an_empty_build_gives_the_same_plan(
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


def test_a_long_list_is_put_in_by_few_statements(garage: Garage) -> None:
    sent: list[str] = []
    with garage.database.unit_of_work() as session:
        engine = session.get_bind().engine
        event.listen(engine, "before_cursor_execute", lambda *told: sent.append(str(told[2])))

    take(garage, "kind,name,count", *(f"bolt,B{n},2" for n in range(500)))

    assert len(garage.now().items) == 500
    assert len(sent) < 100


def test_a_rag_that_is_left_out_of_the_order_keeps_its_line_open(garage: Garage) -> None:
    take(bare(garage), "kind,name,disposition", "temporary: rag,Rag,left_out", "part,Pump,")

    assert order(garage) == ["Pump"]
    assert named(garage, "Rag").is_open
