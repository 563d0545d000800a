from sqlalchemy import delete, select

from app.core.builds.list_export import export_list
from app.core.lists.columns import TABLE
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list_text
from app.store.db.models import Step, StepEdgeRow
from app.store.journal import last_seq
from app.store.lists.lists import Effect, effect_of, write_list
from app.store.loading import load
from app.store.plan.steps import add_step
from tests.store.garage import NOW, Garage

COLUMNS = tuple(column.name for column in TABLE.all if column.always)


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
