"""Lines that the judge of sequence opens are open wherever the ledger is read."""

from app.core.items.items import Fastener, Item, Part
from app.core.items.kinds import Act, Kind
from app.store.plan.items import set_edges
from tests.store.garage import NOW, Garage

PART, BOLTS = "a" * 32, "b" * 32


def bolts_on_a_part(garage: Garage) -> None:
    garage.add(Item(PART, 0, Kind.PART, "Bracket", garage.steps[3], detail=Part()))
    bolts = Fastener(torque="25 N·m", one_time="no")
    garage.add(Item(BOLTS, 0, Kind.FASTENER, "Bracket bolts", garage.steps[3], n=1, detail=bolts))
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{BOLTS}", "edit", {})
        assert set_edges(session, BOLTS, "holds", {PART}, line, now=NOW) is None


def mark(garage: Garage, item: str, act: Act) -> None:
    seen = garage.entry(item).state.tips
    assert garage.receive(garage.line(f"item:{item}", after=seen, act=act.value)).status == 200


def test_bolts_tight_before_their_part_are_open_and_close_with_it(garage: Garage) -> None:
    bolts_on_a_part(garage)
    mark(garage, BOLTS, Act.TIGHT)

    assert [reason.code for reason in garage.entry(BOLTS).found] == ["tight-without-part"]
    assert BOLTS in {entry.item.id for entry in garage.now().open}

    mark(garage, PART, Act.PLACED)
    assert [reason.code for reason in garage.entry(BOLTS).found] == ["tight-before-part"]
    mark(garage, BOLTS, Act.LOOSENED)
    mark(garage, BOLTS, Act.TIGHT)
    assert garage.entry(BOLTS).found == ()


def test_the_reasons_of_the_ledger_stay_beside_those_of_the_judge(garage: Garage) -> None:
    bolts_on_a_part(garage)
    mark(garage, BOLTS, Act.TIGHT)
    entry = garage.entry(BOLTS)
    again = entry.with_found(())

    assert again.reasons == entry.reasons[: -len(entry.found)]
    assert again.with_found(entry.found) == entry
