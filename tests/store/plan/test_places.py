"""Places stand in each other, and never in themselves."""

from sqlalchemy.orm import Session

from app.core.problem import Problem
from app.store.db.clock import new_id
from app.store.db.models import Place
from app.store.plan import places
from tests.store.garage import NOW, Garage


def made(session: Session, garage: Garage, name: str) -> Place:
    return places.place_named(session, garage.build, name, writer=garage.writer, now=NOW)


def put(session: Session, garage: Garage, place: Place, into: str) -> Problem | None:
    return places.move_place(session, place, into, writer=garage.writer, now=NOW)


def test_a_place_of_a_known_name_is_that_place(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        shelf = made(session, garage, "shelf")
        assert made(session, garage, "shelf").id == shelf.id
        assert made(session, garage, "crate").id != shelf.id


def test_what_lies_in_a_place_goes_along_when_it_moves(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        bag, crate, shelf = (made(session, garage, name) for name in ("bag", "crate", "shelf"))
        assert put(session, garage, bag, crate.id) is None
        assert put(session, garage, crate, shelf.id) is None
        bag_id = bag.id
    assert garage.now().place_path(bag_id) == ("bag", "crate", "shelf")


def test_a_place_never_stands_in_itself_nor_in_what_lies_in_it(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        bag, crate, shelf = (made(session, garage, name) for name in ("bag", "crate", "shelf"))
        put(session, garage, bag, crate.id)
        put(session, garage, crate, shelf.id)
        for inner in (shelf, crate, bag):
            problem = put(session, garage, shelf, inner.id)
            assert isinstance(problem, Problem), inner.name
            assert problem.code == "inside"
        assert put(session, garage, bag, "") is None
        assert put(session, garage, shelf, bag.id) is None


def test_a_place_that_is_not_there_or_is_another_builds_takes_nothing(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        bag = made(session, garage, "bag")
        problem = put(session, garage, bag, new_id())
        assert isinstance(problem, Problem)
        assert problem.code == "no-place"
    assert garage.ask("SELECT count(*) FROM journal WHERE subject LIKE 'place:%' AND verb = 'move'") == [(0,)]
