from app.core.items.items import Item
from app.core.items.kinds import Act, Kind
from app.store.db.clock import new_id
from app.store.returning import first_off, newest_fact, newest_stop, newest_work
from tests.store.garage import Garage


def stop(garage: Garage, note: str = "") -> str:
    entry = garage.line(f"build:{garage.build}", "stop", note=note)
    assert garage.receive(entry).status == 200
    return str(entry["id"])


def take_off(garage: Garage) -> str:
    item_id = new_id()
    garage.add(Item(item_id, 0, Kind.PART, "Pump"), act=Act.OFF)
    return item_id


def test_a_stop_holds_until_somebody_works_again(garage: Garage) -> None:
    take_off(garage)
    with garage.database.reading() as session:
        assert newest_stop(session, garage.build) is None
    stop(garage, "rain")
    with garage.database.reading() as session:
        found = newest_stop(session, garage.build)
        assert found is not None
        assert found.note == "rain"
    take_off(garage)
    with garage.database.reading() as session:
        assert newest_stop(session, garage.build) is None


def test_a_stop_that_was_taken_back_is_none(garage: Garage) -> None:
    said = stop(garage)
    garage.receive(garage.line(f"build:{garage.build}", "undo", after=(said,), line=said))

    with garage.database.reading() as session:
        assert newest_stop(session, garage.build) is None


def test_work_is_what_was_done_on_things_newest_first_and_no_more_than_asked_for(garage: Garage) -> None:
    items = [take_off(garage) for _ in range(3)]
    tips = garage.entry(items[0]).state.tips
    garage.receive(garage.line(f"item:{items[0]}", "dispose", after=tips, destiny="undecided"))
    stop(garage)

    with garage.database.reading() as session:
        found = newest_work(session, garage.build, limit=2)

    assert [line.subject for line in found] == [f"item:{items[2]}", f"item:{items[1]}"]


def test_the_newest_fact_may_be_a_stop_and_the_first_thing_off_stays_the_first(garage: Garage) -> None:
    with garage.database.reading() as session:
        assert newest_fact(session, garage.build) is not None  # the starter steps were added
        assert first_off(session, garage.build) is None
    first = take_off(garage)
    take_off(garage)
    said = stop(garage)

    with garage.database.reading() as session:
        newest, off = newest_fact(session, garage.build), first_off(session, garage.build)

    assert newest is not None
    assert newest.id == said
    assert off is not None
    assert off.subject == f"item:{first}"
