"""The invented crew's lines: minutes apart, each upon what its writer had seen."""

from datetime import timedelta

from app.core.items.items import Item
from app.core.items.kinds import Act, Kind
from app.store.db.clock import new_id, stamp
from app.store.demo.writer import BETWEEN_LINES, DemoWriter
from app.store.plan.builds import Writer
from tests.store.garage import NOON, Garage


def test_each_line_comes_some_minutes_after_the_one_before_and_builds_on_all_that_is_there(
    garage: Garage,
) -> None:
    pump = new_id()
    garage.add(Item(pump, 0, Kind.PART, "Pump"), act=Act.ASIDE)
    with garage.database.unit_of_work() as session:
        demo = DemoWriter(session, garage.build, NOON, {"Ada": garage.writer}, {}, {"pump": f"item:{pump}"})

        first = demo.say("pump", "note", {"text": "leaks"}, "Ada")
        second = demo.say("pump", "note", {"text": "leaks below"}, "Ada")

    assert [first.at, second.at] == [stamp(NOON + BETWEEN_LINES), stamp(NOON + 2 * BETWEEN_LINES)]
    assert second.after == {first.id}
    assert timedelta(0) < BETWEEN_LINES


def test_who_writes_blind_has_not_seen_the_last_line(garage: Garage) -> None:
    pump = new_id()
    garage.add(Item(pump, 0, Kind.PART, "Pump"), act=Act.ASIDE)
    with garage.database.unit_of_work() as session:
        crew = {"Ada": garage.writer, "Bo": Writer(new_id(), new_id())}
        demo = DemoWriter(session, garage.build, NOON, crew, {}, {"pump": f"item:{pump}"})

        first = demo.say("pump", "note", {"text": "leaks"}, demo.first)
        second = demo.say("pump", "note", {"text": "is dry"}, "Bo", blind=True)

    assert second.after == first.after
    assert second.person == crew["Bo"].person


def test_no_key_has_no_id(garage: Garage) -> None:
    with garage.database.reading() as session:
        demo = DemoWriter(session, garage.build, NOON, {"Ada": garage.writer}, {}, {"pump": "item:7"})

        assert (demo.id_of("pump"), demo.id_of("")) == ("7", "")
