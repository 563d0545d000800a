"""What the work waits for, kept on the disk: a line for each change, nothing lost to a stale page."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from app.core.items.items import Fastener, Finding, Fluid, Item, Part
from app.core.items.kinds import Act, Kind
from app.core.money import Money
from app.core.problem import STALE, Problem
from app.core.procurement.outstanding import Outstanding, Unavailable
from app.store.checking.lines import line_problems
from app.store.db.clock import new_id
from app.store.plan.items import add_item, set_edges
from app.store.procurement.outstanding import Edit, end_outstanding, reopen_outstanding, save_outstanding
from tests.store.garage import NOW, Garage

TODAY = date(2031, 5, 4)


def thing(garage: Garage, kind: Kind = Kind.PART, name: str = "Heads", **over: Any) -> str:
    item = Item(new_id(), 0, kind, name, detail=over.pop("detail", Part()), **over)
    garage.add(item)
    return item.id


def away(item_id: str, **over: Any) -> Outstanding:
    wait = Outstanding(new_id(), f"item:{item_id}", "away", "machine", "skim", "the machine shop", TODAY)
    return replace(wait, due=date(2031, 5, 12), price=Money(9_000, "EUR"), count=2, **over)


def change(garage: Garage, rev: int = 0) -> Edit:
    return Edit(garage.writer, NOW, TODAY, rev)


def save(garage: Garage, wait: Outstanding, rev: int = 0) -> tuple[Problem, ...]:
    with garage.database.unit_of_work() as session:
        return save_outstanding(session, wait, change(garage, rev), build_id=garage.build, currency="EUR")


def end(garage: Garage, wait: Outstanding, rev: int = 1, count: int | None = None) -> Problem | None:
    with garage.database.unit_of_work() as session:
        return end_outstanding(session, wait.id, change(garage, rev), count=count)


def test_a_thing_sent_away_is_kept_whole_and_tells_the_journal(garage: Garage) -> None:
    item = thing(garage)
    wait = away(item)

    assert save(garage, wait) == ()

    assert garage.now().outstanding == (wait,)
    assert garage.ask("SELECT verb, subject FROM journal ORDER BY seq DESC LIMIT 1") == [
        ("treat", f"item:{item}")
    ]
    assert garage.now().unavailable == {
        item: Unavailable("away", "the machine shop", date(2031, 5, 12), "skim")
    }
    with garage.database.reading() as session:
        assert list(line_problems(session)) == []


def test_what_is_wrong_writes_nothing(garage: Garage) -> None:
    before = garage.rows()
    found = save(garage, replace(away(thing(garage)), count=-1, due=date(2031, 5, 1)))
    assert {problem.where for problem in found} == {"count", "due"}
    assert garage.rows()["outstanding"] == before["outstanding"] == 0


def test_a_stale_page_overwrites_nothing(garage: Garage) -> None:
    wait = away(thing(garage))
    save(garage, wait)
    assert save(garage, replace(wait, at_whom="another shop"), rev=1) == ()
    lines = garage.rows()["journal"]
    assert save(garage, replace(wait, at_whom="a third"), rev=1) == (STALE,)
    assert end(garage, wait, rev=1) is STALE
    assert garage.now().outstanding[0].at_whom == "another shop"
    assert garage.rows()["journal"] == lines


def test_back_again_closes_it_with_its_line(garage: Garage) -> None:
    item = thing(garage)
    wait = away(item)
    save(garage, wait)

    assert end(garage, wait) is None

    assert garage.now().outstanding[0].done_on == TODAY
    assert garage.now().unavailable == {}
    closed_by = "SELECT journal.subject FROM journal JOIN outstanding ON journal.id = outstanding.done_line"
    assert garage.ask(closed_by) == [(f"item:{item}",)]
    assert end(garage, wait, rev=2) == Problem("done", "Somebody else has closed this already.")


def test_fewer_than_were_sent_leave_it_open_for_the_rest(garage: Garage) -> None:
    wait = away(thing(garage))
    save(garage, wait)
    assert end(garage, wait, count=1) is None
    (kept,) = garage.now().outstanding
    assert (kept.count, kept.is_open) == (1, True)
    for wrong in (0, 2, -1):
        refused = end(garage, wait, rev=2, count=wrong)
        assert refused
        assert refused.where == "count"


def test_a_slip_of_the_finger_is_taken_back(garage: Garage) -> None:
    wait = away(thing(garage))
    save(garage, wait)
    end(garage, wait)
    with garage.database.unit_of_work() as session:
        assert reopen_outstanding(session, wait.id, change(garage, 1)) is STALE
        assert reopen_outstanding(session, wait.id, change(garage, 2)) is None
    assert garage.now().outstanding[0].is_open


def test_what_is_ordered_blocks_until_it_has_arrived(garage: Garage) -> None:
    bolts = thing(garage, Kind.FASTENER, "Head bolts", n=4, detail=Fastener("M10x1.5x90", one_time="yes"))
    assert garage.now().unavailable[bolts] == Unavailable("to get", what="Head bolts: M10x1.5x90")
    order = Outstanding(
        new_id(), f"item:{bolts}", "get", "pieces", "bolts", "a shop", TODAY, date(2031, 6, 1), count=4
    )
    save(garage, order)
    assert garage.now().unavailable[bolts] == Unavailable("ordered", "a shop", date(2031, 6, 1), "bolts")
    end(garage, order)
    assert garage.now().unavailable == {}
    assert [line.stage for line in garage.now().to_get] == ["arrived"]


def test_an_order_that_nothing_needs_any_more_blocks_nothing_and_stays_on_the_list(garage: Garage) -> None:
    bolts = thing(garage, Kind.FASTENER, "Head bolts", n=2, detail=Fastener("M10x1.5x90", one_time="yes"))
    save(garage, Outstanding(new_id(), f"item:{bolts}", "get", "pieces", "bolts", "a shop", TODAY))
    garage.receive(garage.line(f"item:{bolts}", "count", piece="renewed", pos=[1, 2]))
    assert [(line.stage, line.needed) for line in garage.now().to_get] == [("ordered", False)]
    assert garage.now().unavailable == {}


def test_the_owners_own_wish_belongs_to_the_build(garage: Garage) -> None:
    save(garage, Outstanding(new_id(), f"build:{garage.build}", "get", "other", "hand cleaner", count=3))
    assert [(line.what, line.quantity, line.stage) for line in garage.now().to_get] == [
        ("hand cleaner", "3 ×", "to get")
    ]
    assert garage.ask("SELECT verb, subject FROM journal ORDER BY seq DESC LIMIT 1") == [
        ("treat", f"build:{garage.build}")
    ]


def test_what_nobody_decided_waits_for_a_decision(garage: Garage) -> None:
    item = thing(garage)
    garage.receive(garage.line(f"item:{item}", "dispose", destiny="undecided"))
    assert garage.now().unavailable == {item: Unavailable("undecided")}
    garage.receive(
        garage.line(f"item:{item}", "dispose", destiny="left_out", after=garage.entry(item).state.tips)
    )
    assert garage.now().unavailable == {}


@pytest.mark.parametrize("blocks", [True, False])
def test_a_finding_that_blocks_stands_before_what_it_was_found_on(garage: Garage, *, blocks: bool) -> None:
    item = thing(garage)
    finding = thing(garage, Kind.FINDING, "crack", detail=Finding("a crack", blocks=blocks))
    with garage.database.unit_of_work() as session:
        set_edges(session, finding, "found_on", {item}, garage.about(f"item:{finding}", "edit", {}), now=NOW)
    assert [e.item.id for e in garage.now().blocked_by(item)] == ([finding] if blocks else [])
    tips = garage.entry(finding).state.tips
    garage.receive(garage.line(f"item:{finding}", act="decided", reason="weld it", after=tips))
    assert garage.now().blocked_by(item) == ()


def test_a_finding_comes_with_a_photo_or_without_and_no_tag_is_needed(garage: Garage) -> None:
    item = thing(garage, zone=garage.zones[3], step=garage.step("intake"))
    entry = garage.capture(kind="finding", about=item, what="cracked stub", blocks=True)

    answer = garage.receive(entry)

    assert answer.body["found"][0]["state"] == "raised"
    finding = garage.entry(str(entry["item"]))
    assert (finding.item.name, finding.item.zone, finding.state_key) == (
        "cracked stub",
        garage.zones[3],
        "raised",
    )
    assert finding.item.detail == Finding("cracked stub", blocks=True)
    assert [e.item.id for e in garage.now().blocked_by(item)] == [finding.item.id]
    assert garage.receive(entry) == answer
    assert len(garage.now().items) == 2


def test_a_finding_on_something_that_is_not_here_is_kept_all_the_same(garage: Garage) -> None:
    entry = garage.capture(kind="finding", about=new_id(), what="cracked stub")
    assert garage.receive(entry).status == 200
    assert garage.entry(str(entry["item"])).item.name == "cracked stub"
    assert garage.receive(garage.capture(kind="finding", about="nothing")).status == 422


@pytest.mark.parametrize(
    "body",
    [
        {"litres": -1, "of": "drained"},
        {"litres": "4.6", "of": "drained"},
        {"litres": 999, "of": "filled"},
        {"litres": 1, "of": "spilled"},
        {"verb": "acknowledge", "caution": "fill-short", "torque": "", "amounts": "wrong"},
    ],
)
def test_an_amount_that_is_none_is_refused(garage: Garage, body: dict[str, Any]) -> None:
    oil = thing(garage, Kind.FLUID, "Oil", detail=Fluid("engine oil"))
    assert garage.receive(garage.line(f"item:{oil}", **{"verb": "count", **body})).status == 422


def test_amounts_come_with_the_act_and_their_answer_by_name(garage: Garage) -> None:
    oil = thing(garage, Kind.FLUID, "Washer fluid", detail=Fluid("washer"))

    def say(verb: str, **body: Any) -> None:
        line = garage.line(f"item:{oil}", verb, after=garage.entry(oil).state.tips, **body)
        assert garage.receive(line).status == 200

    say("count", litres=4.6, of="drained")
    say("mark", act="filled", litres=3.0)
    assert [reason.code for reason in garage.entry(oil).reasons] == ["fill-short"]
    say("acknowledge", amounts="right", caution="fill-short", torque="", reason="the cooler stays full")
    assert garage.entry(oil).reasons == ()
    with garage.database.reading() as session:
        assert list(line_problems(session)) == []


def test_what_is_born_on_the_way_back_is_open_and_never_came_off(garage: Garage) -> None:
    item = Item(new_id(), 0, Kind.PART, "Bracket", owner="new engine", step=garage.steps[-1], detail=Part())
    line = garage.about(f"item:{item.id}", "add", {"kind": "part", "act": Act.OFF.value, "born": "refit"})
    with garage.database.unit_of_work() as session:
        add_item(session, item, line, build_id=garage.build, now=NOW)
    entry = garage.entry(item.id)
    assert entry.is_open
    assert entry.state.off_seq == 0
