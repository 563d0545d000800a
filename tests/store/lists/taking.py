"""Lists put into a garage's build."""

from sqlalchemy import delete, select

from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list_text
from app.store.db.models import Step, StepEdgeRow
from app.store.journal import last_seq
from app.store.lists.lists import Effect, effect_of, write_list
from app.store.loading import load
from tests.store.garage import NOW, Garage


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
