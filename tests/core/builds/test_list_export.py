import csv
import io

from app.core.builds.list_export import export_list
from app.core.ledger.ledger import reading_in
from app.core.lists.columns import TABLE
from app.core.torque.confirming import Standing
from app.store.plan.steps import add_step
from tests.store.garage import NOW, Garage
from tests.store.lists.taking import bare, read, take

COLUMNS = tuple(column.name for column in TABLE.all if column.always)


def test_every_row_of_an_export_has_the_columns_and_no_formula(garage: Garage) -> None:
    take(bare(garage), "kind,name,note", 'part,=1+1,"a;b, c"', "nut,-x,@y")
    text = export_list(garage.now())

    assert text.splitlines()[0] == ",".join(COLUMNS)
    assert [line.split(",")[8] for line in text.splitlines()[1:]] == ["'=1+1", "'-x"]
    assert '"a;b, c"' in text


def test_an_export_names_what_replaces_what_where_reading_it_could_not_know(garage: Garage) -> None:
    lines = ("id,kind,name,disposition,replaces", "a,part,Old,replaced,", "b,part,Another,transfer,a")
    take(bare(garage), *lines)

    text = export_list(garage.now())

    assert text.splitlines()[0] == ",".join([*COLUMNS, "replaces"])
    assert take(garage, *text.splitlines()).renewals == 0


def test_an_export_says_what_a_torque_is_read_as_where_that_is_not_the_print_and_comes_back_alike(
    garage: Garage,
) -> None:
    take(
        bare(garage), "kind,name,torque,torque_print,torque_note", "bolt,A,25 N·m,,cold", "bolt,B,70 in-lb,,",
        'bolt,C,rear 40 N·m,"Front 30 N·m, rear 40 N·m",',
    )  # fmt: skip
    text = export_list(garage.now())
    rows = list(csv.DictReader(io.StringIO(text, newline="")))

    assert [row["torque_read_as"] for row in rows] == ["", "70 lb·in", "40 N·m"]
    assert [row["torque"] for row in rows] == ["25 N·m", "70 in-lb", "rear 40 N·m"]
    assert rows[2]["torque_print"] == "Front 30 N·m, rear 40 N·m"
    assert rows[0]["torque_note"] == "cold"
    first = [entry.item.detail for entry in garage.now().items]
    take(garage, *text.splitlines())
    assert [entry.item.detail for entry in garage.now().items][3:] == first


def test_a_list_that_was_read_otherwise_elsewhere_has_that_compared(garage: Garage) -> None:
    take(bare(garage), "kind,name,torque,torque_read_as", "bolt,A,min. 25 N·m,25 N·m")
    (entry,) = garage.now().items

    assert reading_in(entry.item, entry.state).standing is Standing.CHANGED


def test_two_steps_of_one_name_are_numbered_in_an_export(garage: Garage) -> None:
    with bare(garage).database.unit_of_work() as session:
        for direction in ("both", "on_only"):
            values = {"name": "Level", "height": "lift", "people": 1, "minutes": 5, "direction": direction}
            add_step(session, garage.build, values, writer=garage.writer, now=NOW)

    found = read(*export_list(garage.now()).splitlines())

    assert [(s.name, s.direction) for s in found.steps] == [("Level", "both"), ("Level (2)", "on_only")]
