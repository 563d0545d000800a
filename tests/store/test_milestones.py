"""What is read of a build as a whole: milestones, explanations, who accepted what."""

from app.core.items.items import Item, Part
from app.core.items.kinds import Kind
from app.core.phases.registers import Place
from app.store import crew
from app.store.snapshots import Snapshots
from tests.store.garage import NOON, Garage
from tests.swaps import ENGINE_UP


def test_milestones_from_phones_say_where_the_engines_are(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    garage.milestones("hook_up old", "rise old", "set_down old")

    phases = garage.now().phases
    assert (phases.place("old"), phases.place("new")) == (Place.BENCH, Place.BENCH)


def test_what_else_is_said_of_a_build_is_no_milestone_and_holds_none_up(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    garage.receive(garage.line(f"build:{garage.build}", "stop", note="tea"))
    stops = tuple(row[0] for row in garage.ask("SELECT id FROM journal WHERE verb = 'stop'"))
    told = garage.line(f"build:{garage.build}", "rise", after=stops, units=["old"])
    assert garage.receive(told).status == 200

    assert [line.verb for line in garage.now().milestones] == ["rise"]
    assert garage.now().phases.place("old") is Place.HANGING


def test_a_milestone_of_something_else_than_a_build_is_refused(garage: Garage) -> None:
    assert garage.receive(garage.line(f"item:{'a' * 32}", "rise", units=["old"])).status == 422


def test_who_accepts_a_thing_is_the_owner_by_the_role_of_their_phone_until_it_is_taken_back(
    garage: Garage,
) -> None:
    garage.add(Item("a" * 32, 0, Kind.PART, "Brake servo", critical=True, detail=Part()))
    tips = list(garage.entry("a" * 32).state.tips)
    entry = garage.line(f"item:{'a' * 32}", "accept", after=tuple(tips), seen=tips, reason="not fitted")
    assert garage.receive(entry).status == 200

    [said] = garage.now().acceptances
    assert (said.is_owner, said.reason, said.item) == (True, "not fitted", "a" * 32)
    assert list(garage.entry("a" * 32).state.tips) == tips

    garage.receive(garage.line(f"item:{'a' * 32}", "undo", after=(entry["id"],), line=entry["id"]))
    assert garage.now().acceptances == ()


def test_an_explanation_answers_what_is_asked_until_a_line_that_it_speaks_of_changes(garage: Garage) -> None:
    fluid = Item("f" * 32, 0, Kind.FLUID, "Engine oil")
    garage.add(fluid)
    first = garage.entry("f" * 32).state.tips
    garage.receive(garage.line(f"item:{'f' * 32}", after=first, act="drained"))
    assert garage.now().finding_answers == ()
    entry = garage.line(f"item:{'f' * 32}", "explain", finding="amount-low:f", seen=["x"], reason="dry sump")
    assert garage.receive(entry).status == 200
    [answer] = garage.now().finding_answers
    assert (answer.key, answer.seen, answer.reason) == ("amount-low:f", ("x",), "dry sump")


def test_what_is_accepted_for_somebody_on_another_ones_phone_counts_for_nothing(garage: Garage) -> None:
    garage.add(Item("a" * 32, 0, Kind.PART, "Brake servo", critical=True, detail=Part()))
    with garage.database.unit_of_work() as session:
        ben = crew.let_in(session, name="Ben", label="phone", role="helper", now=NOON)[0].person_id
    entry = garage.line(f"item:{'a' * 32}", "accept", seen=list(garage.entry("a" * 32).state.tips))
    assert garage.receive(entry | {"person": ben}).status == 200

    assert garage.now().acceptances == ()


def test_an_explanation_that_was_taken_back_answers_nothing_for_those_who_had_read_it(garage: Garage) -> None:
    garage.add(Item("a" * 32, 0, Kind.PART, "Bracket", detail=Part()))
    entry = garage.line(f"item:{'a' * 32}", "explain", finding="left-in:a", seen=["x"], reason="so it is")
    garage.receive(entry)
    kept = Snapshots()
    with garage.database.reading() as session:
        read = kept.of(session, 1)
        assert read
        assert len(read.finding_answers) == 1

    garage.receive(garage.line(f"item:{'a' * 32}", "undo", after=(entry["id"],), line=entry["id"]))
    with garage.database.reading() as session:
        read = kept.of(session, 1)
        assert read
        assert read.finding_answers == ()
