"""What seems to have been is proposed once, and never taken for told."""

from sqlalchemy import text

from app.core.builds.proposed import proposals
from app.core.items.items import Fastener, Item
from app.core.items.kinds import Act, Kind
from app.core.phases.registers import Place
from app.store.gates import facts
from tests.store.garage import Garage
from tests.swaps import ENGINE_UP


def proposed(garage: Garage) -> list[str]:
    with garage.database.reading() as session:
        build = garage.now()
        return [each.milestone.verb.value for each in proposals(build, facts(session, build))]


def test_marks_of_the_way_back_speak_of_a_lift_that_nobody_told(garage: Garage) -> None:
    nuts = Item("a" * 32, 0, Kind.FASTENER, "Mount nuts", garage.step("lift_out"), n=1, detail=Fastener())
    garage.add(nuts)
    assert proposed(garage) == []
    garage.is_about(ENGINE_UP)
    assert proposed(garage) == []

    seen = garage.entry("a" * 32).state.tips
    garage.receive(garage.line(f"item:{'a' * 32}", after=seen, act=Act.HAND_TIGHT.value))
    assert proposed(garage) == ["rise", "set_down", "lift_in", "mating", "landed"]
    assert garage.now().phases.place("old") is Place.IN

    garage.milestones("rise old")
    assert proposed(garage) == []


def test_nothing_is_proposed_until_somebody_said_what_the_build_is_about(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    nuts = Item("a" * 32, 0, Kind.FASTENER, "Mount nuts", garage.step("lift_out"), n=1, detail=Fastener())
    garage.add(nuts)
    seen = garage.entry("a" * 32).state.tips
    garage.receive(garage.line(f"item:{'a' * 32}", after=seen, act=Act.HAND_TIGHT.value))
    assert proposed(garage)

    with garage.database.unit_of_work() as session:
        session.execute(text("UPDATE build SET swap = '{}'"))
    assert proposed(garage) == []
