from typing import Any

from app.core.builds.readiness import can_do_now, stuck
from app.core.items.items import Fastener, Item, Part
from app.core.items.kinds import Act, Kind
from app.core.order.ready import Here
from app.store.db.clock import new_id
from app.store.plan.items import set_edges
from app.store.plan.steps import add_step
from tests.store.garage import NOW, Garage


def take_off(garage: Garage, *names: str, step: int = 0, act: Act | None = None) -> list[str]:
    ids = [new_id() for _ in names]
    for item_id, name in zip(ids, names, strict=True):
        garage.add(
            Item(item_id, 0, Kind.PART, name, garage.steps[step], garage.zones[0], detail=Part()), act=act
        )
    return ids


def tell(garage: Garage, item_id: str, verb: str = "mark", **body: Any) -> None:
    seen = garage.entry(item_id).state.tips
    assert garage.receive(garage.line(f"item:{item_id}", verb, after=seen, **body)).status == 200


def tie(garage: Garage, frm: str, rel: str, to: str) -> None:
    with garage.database.unit_of_work() as session:
        assert set_edges(session, frm, rel, {to}, garage.about(f"item:{frm}", "edit", {}), now=NOW) is None


def back(garage: Garage) -> list[str]:
    now = garage.now()
    return [now.entries[i].item.name for i in now.order if now.entries[i].item.kind is not Kind.STEP]


def test_what_came_off_goes_back_in_reverse(garage: Garage) -> None:
    take_off(garage, "a", "b", "c")

    assert back(garage) == ["c", "b", "a"]


def test_what_is_left_out_or_unused_does_not_go_back_and_the_first_is_named(garage: Garage) -> None:
    a, b, _ = take_off(garage, "a", "b", "c")
    tell(garage, a, "dispose", destiny="left_out", reason="no longer needed")
    tell(garage, b, act="unused")

    assert back(garage) == ["c"]
    assert [(e.item.name, e.state.destiny.reason) for e in garage.now().skipped] == [
        ("a", "no longer needed")
    ]


def test_what_is_undecided_or_contradicted_stays_in_the_order(garage: Garage) -> None:
    a, b = take_off(garage, "a", "b")
    tell(garage, a, "dispose", destiny="undecided")
    for destiny in ("left_out", "refit"):
        garage.receive(garage.line(f"item:{b}", "dispose", destiny=destiny))

    assert back(garage) == ["b", "a"]


def test_a_replacement_goes_back_where_the_old_one_stood(garage: Garage) -> None:
    _, b, _, new = take_off(garage, "a", "b", "c", "new")
    tell(garage, b, "dispose", destiny="replaced")
    tie(garage, new, "replaces", b)

    assert back(garage) == ["c", "new", "a"]


def test_a_replacement_waits_for_what_the_old_one_waited_for(garage: Garage) -> None:
    a, b, middle, new = take_off(garage, "a", "b", "middle", "new")
    tie(garage, b, "covers", a)
    tie(garage, middle, "replaces", b)
    tie(garage, new, "replaces", middle)
    for old in (b, middle):
        tell(garage, old, "dispose", destiny="replaced")

    assert back(garage) == ["a", "new"]
    assert [e.item.name for e in garage.now().blocked_by(new)] == ["a"]
    tell(garage, a, act="placed")
    assert garage.now().blocked_by(new) == ()


def test_a_step_of_the_way_back_is_a_line_of_the_ledger_and_of_the_order(garage: Garage) -> None:
    values = {"name": "fill", "height": "stands", "people": 1, "minutes": 5, "direction": "on_only"}
    with garage.database.unit_of_work() as session:
        fill = add_step(session, garage.build, values, writer=garage.writer, now=NOW).id
    take_off(garage, "a")

    assert garage.entry(fill).is_open
    assert garage.now().order[0] == fill
    garage.receive(garage.line(f"step:{fill}", act="done"))
    assert not garage.entry(fill).is_open


def test_a_thing_blocks_until_it_is_in_position(garage: Garage) -> None:
    a, b = take_off(garage, "a", "b")
    tie(garage, b, "covers", a)
    assert [e.item.name for e in garage.now().blocked_by(b)] == ["a"]

    tell(garage, a, act="placed")
    assert garage.now().blocked_by(b) == ()


def test_a_thing_that_two_disagree_about_blocks(garage: Garage) -> None:
    a, b = take_off(garage, "a", "b")
    tie(garage, b, "covers", a)
    for act in ("off", "placed"):
        garage.receive(garage.line(f"item:{a}", act=act))

    assert [e.item.name for e in garage.now().blocked_by(b)] == ["a"]


def test_a_thing_that_needs_nothing_blocks_nothing(garage: Garage) -> None:
    a, b, c = take_off(garage, "a", "b", "c")
    tie(garage, b, "covers", a)
    tie(garage, c, "covers", b)
    tell(garage, a, act="unused")
    tell(garage, b, "dispose", destiny="left_out")

    assert garage.now().blocked_by(b) == garage.now().blocked_by(c) == ()


def test_open_lines_are_counted_by_zone(garage: Garage) -> None:
    a, _ = take_off(garage, "a", "b")
    tell(garage, a, act="placed")

    assert garage.now().open_by_zone[garage.zones[0]] == 1


def test_what_does_not_fit_comes_before_the_start_and_the_drive_and_before_nothing_else(
    garage: Garage,
) -> None:
    (part,), bolts = take_off(garage, "part"), new_id()
    garage.add(Item(bolts, 0, Kind.FASTENER, "bolts", detail=Fastener(torque="9 N·m")))
    tie(garage, bolts, "holds", part)
    tell(garage, bolts, act="tight")
    tell(garage, part, act="placed")
    build = garage.now()
    assert [each.code for each in build.findings] == ["tight-before-part"]

    start, drive, fill = (garage.step(key) for key in ("first_start", "first_drive", "fill"))
    assert bolts in [entry.item.id for entry in build.blocked_by(start)]
    assert bolts in [entry.item.id for entry in build.blocked_by(drive)]
    assert build.blocked_by(fill) == ()
    assert {step: code for step, code in stuck(build).items() if code} == dict.fromkeys(
        (start, drive), "does-not-fit"
    )
    held = {each.item: each.code for each in can_do_now(build, Here()).held}
    assert held[start] == "does-not-fit"
