"""A build some lines later: `update` gives what was worked out before to the build that follows."""

from dataclasses import replace

from app.core.builds.following import keep_known
from app.core.builds.snapshot import Snapshot
from app.core.items.items import Fastener, Item, Part
from app.core.items.kinds import Kind
from app.store.db.clock import new_id
from app.store.journal import last_seq
from app.store.loading import load, update
from app.store.plan.items import set_edges
from tests.store.garage import NOW, Garage

PLAN = ("plan", "graph", "predecessors", "deviations")
BESIDE = ("cycle", "order_progress", "order", "to_get", "unavailable", "replaced", "step", "items")


def take_off(garage: Garage, *names: str) -> list[str]:
    found = [
        Item(new_id(), 0, Kind.PART, name, garage.steps[0], garage.zones[0], detail=Part()) for name in names
    ]
    for item in found:
        garage.add(item)
    return [item.id for item in found]


def bolts(garage: Garage, name: str, torque: str) -> str:
    detail = Fastener(torque=torque)
    found = Item(new_id(), 0, Kind.FASTENER, name, garage.steps[0], garage.zones[0], n=1, detail=detail)
    garage.add(found)
    return found.id


def known(garage: Garage) -> Snapshot:
    """A build of which everything was asked."""
    with garage.database.reading() as session:
        build = load(session, 1, last_seq(session))
    assert build is not None
    for name in (
        *PLAN,
        "cycle",
        "order_progress",
        "order",
        "to_get",
        "unavailable",
        "replaced",
        "step",
        "items",
    ):
        getattr(build, name)
    return build


def later(garage: Garage, before: Snapshot) -> Snapshot:
    with garage.database.reading() as session:
        found = update(session, before, last_seq(session))
    assert found is not None
    return found


def tell(garage: Garage, item: str, verb: str = "mark", **body: str) -> None:
    seen = garage.entry(item).state.tips
    assert garage.receive(garage.line(f"item:{item}", verb, after=seen, **body)).status == 200


def test_a_mark_keeps_the_plan_and_what_is_to_be_got(garage: Garage) -> None:
    a, *_ = take_off(garage, "a", "b")
    before = known(garage)
    tell(garage, a, act="placed")

    now = later(garage, before)

    for name in (*PLAN, "to_get", "unavailable", "step", "replaced"):
        assert now.__dict__[name] is before.__dict__[name], name


def test_a_mark_moves_what_was_marked_on_and_nothing_else(garage: Garage) -> None:
    a, *_ = take_off(garage, "a", "b", "c")
    before = known(garage)
    tell(garage, a, act="placed")

    now = later(garage, before)

    assert "order" in now.__dict__
    assert now.order == garage.now().order
    assert [i for i in now.order if i != a] == [i for i in before.order if i != a]


def test_a_mark_leaves_the_items_in_their_sequence_each_as_it_stands(garage: Garage) -> None:
    a, _ = take_off(garage, "a", "b")
    before = known(garage)
    ids = [entry.item.id for entry in before.items]
    tell(garage, a, act="placed")

    now = later(garage, before)

    assert [entry.item.id for entry in now.__dict__["items"]] == ids
    assert now.__dict__["items"][ids.index(a)] is now.entries[a]


def test_a_mark_asks_only_what_changed_for_its_reading_and_the_gates(garage: Garage) -> None:
    a, b = (bolts(garage, n, torque="min. 40 N·m") for n in "ab")
    before = known(garage)
    assert [entry.item.id for entry in before.unconfirmed] == [a, b]
    codes = before.gate_codes
    tell(garage, a, "dispose", destiny="left_out", reason="gone")

    now = later(garage, before)

    assert [entry.item.id for entry in now.__dict__["unconfirmed"]] == [b]
    assert now.gate_codes is codes


def test_an_item_of_another_number_or_kind_keeps_no_sequence(garage: Garage) -> None:
    a, _ = take_off(garage, "a", "b")
    before = known(garage)
    first = before.entries[a]
    for item in (replace(first.item, number=99), replace(first.item, kind=Kind.LOCATOR)):
        now = replace(before, entries={**before.entries, a: replace(first, item=item)})
        keep_known(before, now)
        assert "items" not in now.__dict__


def test_what_is_left_out_is_another_plan_and_another_order(garage: Garage) -> None:
    a, b = take_off(garage, "a", "b")
    before = known(garage)
    tell(garage, a, "dispose", destiny="left_out", reason="gone")

    now = later(garage, before)

    assert not {"graph", "order", "order_progress"} & now.__dict__.keys()
    assert a not in now.order
    assert b in now.order


def test_a_tie_keeps_nothing_that_follows_from_ties(garage: Garage) -> None:
    a, b = take_off(garage, "a", "b")
    before = known(garage)
    with garage.database.unit_of_work() as session:
        set_edges(session, b, "covers", {a}, garage.about(f"item:{b}", "edit", {}), now=NOW)

    now = later(garage, before)

    assert not {"to_get", "graph", "order"} & now.__dict__.keys()
    assert [e.item.id for e in now.blocked_by(b)] == [a]
    assert now.__dict__["step"] is before.__dict__["step"]


def test_a_line_more_keeps_no_order(garage: Garage) -> None:
    take_off(garage, "a")
    before = known(garage)
    (b,) = take_off(garage, "b")

    now = later(garage, before)

    assert not {*PLAN, "order", "to_get", "unavailable"} & now.__dict__.keys()
    assert b in now.order


def test_what_nobody_asked_before_is_not_there_after(garage: Garage) -> None:
    take_off(garage, "a")
    fresh, same = garage.now(), garage.now()

    keep_known(fresh, same)

    assert not {*PLAN, "order", "to_get"} & same.__dict__.keys()
