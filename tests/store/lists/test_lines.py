from sqlalchemy import event

from app.core.builds.snapshot import Entry
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list_text
from app.store.checking.lines import line_problems
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


def named(garage: Garage, name: str) -> Entry:
    return next(entry for entry in garage.now().items if entry.item.name == name)


def test_the_states_written_at_once_are_those_of_the_journal(garage: Garage) -> None:
    take(
        garage,
        "kind,name,count,place,disposition",
        "bolt,B,12,bag 1 → crate,left out",
        "part,P,,crate,replaced",
    )

    with garage.database.reading() as session:
        assert list(line_problems(session)) == []
    assert named(garage, "B").state.destiny.value == "left_out"
    assert named(garage, "B").state.destiny.reason == "as the list says"
    assert len(named(garage, "B").state.positions) == 12


def test_a_long_list_is_put_in_by_few_statements(garage: Garage) -> None:
    sent: list[str] = []
    with garage.database.unit_of_work() as session:
        engine = session.get_bind().engine
        event.listen(engine, "before_cursor_execute", lambda *told: sent.append(str(told[2])))

    take(garage, "kind,name,count", *(f"bolt,B{n},2" for n in range(500)))

    assert len(garage.now().items) == 500
    assert len(sent) < 100
