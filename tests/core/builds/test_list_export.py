from app.core.builds.list_export import export_list
from app.core.lists.columns import TABLE
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


def test_two_steps_of_one_name_are_numbered_in_an_export(garage: Garage) -> None:
    with bare(garage).database.unit_of_work() as session:
        for direction in ("both", "on_only"):
            values = {"name": "Level", "height": "lift", "people": 1, "minutes": 5, "direction": direction}
            add_step(session, garage.build, values, writer=garage.writer, now=NOW)

    found = read(*export_list(garage.now()).splitlines())

    assert [(s.name, s.direction) for s in found.steps] == [("Level", "both"), ("Level (2)", "on_only")]
