from datetime import datetime, timedelta

from app.core.builds.work import jobs_of
from app.core.items.items import Item, Part
from app.core.items.kinds import Act, Kind
from app.store.db.clock import new_id, stamp
from app.store.plan.minutes import recorded_minutes, step_minutes
from tests.store.garage import NOON, Garage

STEP = "intake"


def take_off(garage: Garage, name: str) -> str:
    item_id = new_id()
    garage.add(Item(item_id, 0, Kind.PART, name, garage.step(STEP), garage.zones[0], detail=Part()))
    return item_id


def mark(garage: Garage, item_id: str, act: Act, at: datetime) -> None:
    seen = garage.entry(item_id).state.tips
    line = garage.line(f"item:{item_id}", after=seen, act=act.value) | {"at": stamp(at)}
    assert garage.receive(line).status == 200


def test_the_marks_of_a_step_tell_its_minutes_without_the_breaks(garage: Garage) -> None:
    items = [take_off(garage, str(at)) for at in range(3)]
    for at, item in enumerate(items):
        mark(garage, item, Act.ASIDE, NOON + timedelta(minutes=10 * at + 10))
        mark(garage, item, Act.PLACED, NOON + timedelta(days=60, minutes=6 * at))
    now = garage.now()
    with garage.database.reading() as session:
        found = recorded_minutes(session, now)
    assert found == {garage.step(STEP): (36, 18)}  # three at noon, then every 10 minutes: 6 marks, 6 each

    (done,) = [step for step in step_minutes(jobs_of(now), now, found) if step.id == garage.step(STEP)]
    assert (done.planned, done.off, done.on, done.left) == (now.step[done.id].minutes, 36, 18, 0)
    assert jobs_of(now, {garage.step(STEP): (36, 0)}) == jobs_of(now)


def test_a_clock_that_cannot_be_read_gives_way_to_the_laptops(garage: Garage) -> None:
    items = [take_off(garage, str(at)) for at in range(3)]
    line = garage.line(f"item:{items[0]}", after=garage.entry(items[0]).state.tips, act="aside")
    assert garage.receive(line | {"at": "half past nine"}).status == 200
    with garage.database.reading() as session:
        assert recorded_minutes(session, garage.now()) == {garage.step(STEP): (0, 0)}
