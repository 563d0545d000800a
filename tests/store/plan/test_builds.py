import pytest

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.problem import STALE, Problem
from app.store.db.clock import new_id
from app.store.journal import append, check_states
from app.store.plan import builds
from app.store.plan.builds import LAYOUTS
from tests.store.garage import NOW, Garage

SOAK = {"name": "soak the studs", "height": "stands", "people": 1, "minutes": 5, "direction": "on_only"}


def add_step(garage: Garage) -> str:
    with garage.database.unit_of_work() as session:
        return builds.add_step(session, garage.build, SOAK, writer=garage.writer, now=NOW).id


def delete(garage: Garage, step: str) -> Problem | None:
    with garage.database.unit_of_work() as session:
        return builds.delete_step(session, step, writer=garage.writer, now=NOW)


def move(garage: Garage, step: str, by: int) -> None:
    with garage.database.unit_of_work() as session:
        builds.move_step(session, step, by, writer=garage.writer, now=NOW)


@pytest.mark.parametrize("key", LAYOUTS)
def test_a_layout_brings_zones_and_steps(garage: Garage, key: str) -> None:
    plan = builds.layout(key)
    with garage.database.unit_of_work() as session:
        made = builds.new_build(
            session,
            title="b",
            vehicle="",
            layout_key=key,
            units="",
            dialect="us",
            writer=garage.writer,
            now=NOW,
        )
        assert made.nr == 2

    assert garage.ask("SELECT count(*) FROM zone WHERE build_id != (SELECT id FROM build WHERE nr = 1)") == [
        (len(plan["zones"]),)
    ]
    assert len(plan["steps"]) > 5
    with pytest.raises(ValueError, match="no layout"):
        builds.layout("../secret")


def test_an_edit_from_an_old_page_writes_nothing(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        first = builds.edit_build(
            session, garage.build, {"title": "one"}, rev=1, writer=garage.writer, now=NOW
        )
    rows = garage.rows()
    with garage.database.unit_of_work() as session:
        second = builds.edit_build(
            session, garage.build, {"title": "two"}, rev=1, writer=garage.writer, now=NOW
        )

    assert (first, second) == (None, STALE)
    assert (garage.now().title, garage.rows()) == ("one", rows)


def test_a_step_is_edited_once_from_one_page(garage: Garage) -> None:
    answers = []
    for name in ("one", "two"):
        with garage.database.unit_of_work() as session:
            edited = builds.edit_step(
                session, garage.steps[0], {"name": name}, rev=1, writer=garage.writer, now=NOW
            )
            answers.append(edited)

    assert answers == [None, STALE]
    assert garage.now().steps[0].name == "one"


def test_a_new_step_comes_last_and_moves_among_its_neighbours(garage: Garage) -> None:
    step = add_step(garage)
    assert [s.id for s in garage.now().steps] == [*garage.steps, step]

    move(garage, step, 1)
    move(garage, step, -1)

    assert [s.id for s in garage.now().steps][-2:] == [step, garage.steps[-1]]
    move(garage, garage.steps[0], -1)
    assert garage.now().steps[0].id == garage.steps[0]


def test_a_step_with_items_stays(garage: Garage) -> None:
    garage.add(Item(new_id(), 0, Kind.CONNECTION, step=garage.steps[0]))

    problem = delete(garage, garage.steps[0])

    assert problem is not None
    assert problem.code == "step-used"
    assert garage.now().steps[0].id == garage.steps[0]


def test_a_deleted_step_leaves_no_state_behind_also_when_a_phone_marks_it_later(garage: Garage) -> None:
    step = add_step(garage)
    assert not garage.entry(step).is_open  # nothing is off: the way back has not begun
    garage.add(Item(new_id(), 0, Kind.CONNECTION))
    assert garage.entry(step).is_open
    with garage.database.unit_of_work() as session:
        done = garage.about(f"step:{step}", "mark", {"act": "done"})
        append(session, done, build_id=garage.build, now=NOW)
    assert not garage.entry(step).is_open

    assert delete(garage, step) is None
    assert garage.receive(garage.line(f"step:{step}", act="done")).status == 200

    assert step not in garage.now().entries
    with garage.database.reading() as session:
        assert check_states(session) == ()


def test_an_own_zone_has_no_shape_and_comes_last(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        builds.add_zone(session, garage.build, "roof rack", "above", writer=garage.writer, now=NOW)

    last = garage.now().zones[-1]
    assert (last.label, last.key, last.level) == ("roof rack", "", "above")
