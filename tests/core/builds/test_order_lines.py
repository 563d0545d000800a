import csv
import io

from app.core.builds.list_export import export_list
from app.core.builds.order_lines import order_lines
from app.core.items.items import Fastener, Fluid, Item, Part
from app.core.items.kinds import Act, Kind
from app.core.lists.columns import TABLE
from tests.store.garage import Garage
from tests.store.lists.taking import bare, take
from tests.swaps import ENGINE_UP

COLUMNS = tuple(column.name for column in TABLE.all if column.always)


def order(garage: Garage) -> list[str]:
    return [line.name for line in order_lines(garage.now())]


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


def test_the_order_says_the_print_and_what_it_is_read_as(garage: Garage) -> None:
    take(
        bare(garage), "kind,name,torque,torque_print", "bolt,A,25 N·m,",
        'bolt,B,rear 40 N·m,"Front 30 N·m, rear 40 N·m"',
    )  # fmt: skip
    chosen, plain = order_lines(garage.now())

    assert (plain.torque, plain.torque_read_as) == ("25 N·m", "")
    assert "Front 30 N·m, rear 40 N·m (read as 40 N·m)" in chosen.words
    assert chosen.fields()["torque_read_as"] == "40 N·m"
    assert "torque_read_as" not in plain.fields()


def test_a_fluid_is_filled_once_its_drain_plug_is_in_and_where_it_is_filled(garage: Garage) -> None:
    drain, zone = garage.step("drain"), garage.zones[0]
    plug = Item("a" * 32, 0, Kind.FASTENER, "Drain plug", drain, zone, n=1, detail=Fastener())
    oil = Item("b" * 32, 0, Kind.FLUID, "Engine oil", drain, zone, detail=Fluid("engine oil"))
    garage.add(plug)
    garage.add(oil, act=Act.DRAINED)
    lines = {line.name: line for line in order_lines(garage.now())}

    assert [name for name in lines if name in {"Drain plug", "Engine oil"}] == ["Drain plug", "Engine oil"]
    assert lines["Engine oil"].step == "Fill engine oil, transmission, steering and clutch fluid"
    assert {line.name: line for line in order_lines(garage.now(), as_listed=True)}[
        "Engine oil"
    ].step == "Drain coolant, oil and transmission"


def test_of_many_that_a_line_waits_for_a_person_reads_a_few(garage: Garage) -> None:
    take(
        bare(garage), "id,kind,name,covers", "a,part,A,", "b,part,B,", "c,part,C,", "d,part,D,",
        "e,part,E,a;b;c;d",
    )  # fmt: skip
    line = next(each for each in order_lines(garage.now()) if each.name == "E")

    assert len(line.blocked_by) == 4
    assert line.words.endswith("and 1 more")


def test_a_step_is_done_and_not_looked_at(garage: Garage) -> None:
    garage.add(Item("a" * 32, 0, Kind.PART, "Lid", detail=Part()))
    steps = [line for line in order_lines(garage.now()) if line.kind == "step" and line.acts]

    assert steps
    assert {act["act"] for line in steps for act in line.acts} == {"done"}


def test_what_waits_for_the_engine_says_for_what_and_what_does_not_says_nothing(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    garage.add(Item("a" * 32, 0, Kind.FASTENER, "Bolts", garage.step("split"), detail=Fastener()))
    garage.milestones("hook_up old", "rise old", "set_down old")
    before = next(line for line in order_lines(garage.now()) if line.name == "Bolts")
    garage.milestones("lift_in new", "mating new gearbox")
    after = next(line for line in order_lines(garage.now()) if line.name == "Bolts")

    assert before.fields()["milestones"] == ["lift_in", "mating"]
    assert "after the engine lifted in, engine and gearbox together, " in before.words
    assert "milestones" not in after.fields()
