from dataclasses import replace

import pytest

from app.core.items.items import DETAIL, Connection, Fastener, Item, Part
from app.core.items.kinds import Act, Kind
from app.core.problem import Problem
from app.store.checking.lines import line_problems
from app.store.db.clock import new_id
from app.store.plan.items import edit_item, set_edges
from tests.store.garage import NOW, Garage


def three(garage: Garage) -> list[str]:
    ids = [new_id() for _ in range(3)]
    for item_id, name in zip(ids, ("pump", "cover", "belt"), strict=True):
        garage.add(Item(item_id, 0, Kind.PART, name, detail=Part()))
    return ids


def link_replacement(garage: Garage, frm: str, rel: str, *to: str) -> Problem | None:
    with garage.database.unit_of_work() as session:
        return set_edges(session, frm, rel, set(to), garage.about(f"item:{frm}", "edit", {}), now=NOW)


def edit(garage: Garage, changed: Item, *, rev: int = 1) -> Problem | None:
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{changed.id}", "edit", {})
        return edit_item(session, changed.id, changed, line, rev=rev, now=NOW)


def test_items_are_numbered_as_they_come(garage: Garage) -> None:
    three(garage)

    assert [(e.item.number, e.item.name, e.state_key) for e in garage.now().items] == [
        (1, "pump", "off"),
        (2, "cover", "off"),
        (3, "belt", "off"),
    ]


def test_an_item_begins_with_the_act_it_was_found_in_and_gets_its_second_look_by_default(
    garage: Garage,
) -> None:
    item = Item(new_id(), 0, Kind.CONNECTION, detail=Connection("fuel line"))
    garage.add(item, act=Act.ALREADY_OFF)

    assert (garage.entry(item.id).state_key, garage.entry(item.id).item.critical) == ("already_off", True)


def test_an_edit_writes_what_changed_into_the_journal_and_folds_again(garage: Garage) -> None:
    item = Item(new_id(), 0, Kind.FASTENER, detail=Fastener())
    garage.add(item)
    assert edit(garage, replace(garage.entry(item.id).item, name="bolts", n=4)) is None

    seen = garage.entry(item.id)
    assert (seen.item.name, len(seen.state.positions), seen.rev) == ("bolts", 4, 2)
    (body,) = garage.ask("SELECT body FROM journal WHERE verb = 'edit'")
    assert body == ('{"name": "bolts", "n": 4, "rev": 2}',)
    with garage.database.reading() as session:
        assert list(line_problems(session)) == []


def test_an_edit_of_an_item_from_an_old_page_writes_nothing(garage: Garage) -> None:
    item = Item(new_id(), 0, Kind.PART, detail=Part())
    garage.add(item)
    rows = garage.rows()

    problem = edit(garage, replace(item, name="pump"), rev=7)

    assert problem is not None
    assert problem.code == "stale"
    assert (garage.rows(), garage.entry(item.id).item.name) == (rows, "")


@pytest.mark.parametrize("kind", [Kind.FASTENER, Kind.TEMPORARY, Kind.FLUID, Kind.FINDING, Kind.LOCATOR])
def test_an_item_that_turns_out_to_be_of_another_kind_stays_open(garage: Garage, kind: Kind) -> None:
    item = Item(new_id(), 0, Kind.CONNECTION)
    garage.add(item)
    garage.receive(garage.line(f"item:{item.id}", act="seated"))
    changed = replace(garage.entry(item.id).item, kind=kind, detail=DETAIL[kind]())
    assert edit(garage, changed) is None

    assert garage.entry(item.id).is_open
    with garage.database.reading() as session:
        assert list(line_problems(session)) == []


def test_edges_are_exactly_those_last_set(garage: Garage) -> None:
    pump, cover, belt = three(garage)
    for targets in ((pump, belt), (belt,), (belt,)):
        assert link_replacement(garage, cover, "covers", *targets) is None

    assert [(e.frm, e.rel, e.to) for e in garage.now().edges] == [(cover, "covers", belt)]
    assert link_replacement(garage, cover, "covers") is None
    assert garage.now().edges == ()


def test_a_circle_is_refused_with_its_members_named_and_nothing_written(garage: Garage) -> None:
    pump, cover, belt = three(garage)
    link_replacement(garage, pump, "holds", cover)
    link_replacement(garage, cover, "covers", belt)

    problem = link_replacement(garage, belt, "joins", pump)

    assert problem is not None
    assert problem.code == "cycle"
    assert all(name in problem.message for name in ("#1 pump", "#2 cover", "#3 belt"))
    assert len(garage.now().edges) == 2
    assert set(garage.now().order) >= {pump, cover, belt}


@pytest.mark.parametrize("rel", ["holds", "replaces"])
def test_nothing_waits_for_or_replaces_itself(garage: Garage, rel: str) -> None:
    pump, *_ = three(garage)

    assert link_replacement(garage, pump, rel, pump) is not None


def test_things_that_replace_each_other_are_refused(garage: Garage) -> None:
    pump, cover, _ = three(garage)
    link_replacement(garage, pump, "replaces", cover)

    assert link_replacement(garage, cover, "replaces", pump) is not None
    assert garage.now().replaces == {pump: cover}


def test_a_circle_through_what_a_replacement_takes_over_is_refused(garage: Garage) -> None:
    pump, cover, belt = three(garage)
    link_replacement(garage, pump, "holds", cover)
    link_replacement(garage, belt, "holds", pump)

    assert link_replacement(garage, belt, "replaces", cover) is not None
    assert set(garage.now().order) >= {pump, cover, belt}
