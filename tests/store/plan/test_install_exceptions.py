from dataclasses import replace

import pytest

from app.core.builds.readiness import can_do_now
from app.core.items.items import Fastener, Item, Part
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.order.acts import InstallException, StepEdge
from app.core.order.ready import Here
from app.core.problem import Problem
from app.store.db.clock import new_id
from app.store.db.models import Step
from app.store.plan.deleted_steps import delete_step
from app.store.plan.install_exceptions import set_install_exceptions
from app.store.plan.items import edit_item, set_edges
from app.store.plan.steps import edit_step
from tests.store.garage import NOW, Garage


def take_off(garage: Garage, name: str, step: int, kind: Kind = Kind.PART) -> str:
    item = Item(new_id(), 0, kind, name, garage.steps[step], garage.zones[0])
    garage.add(replace(item, detail=Fastener() if kind is Kind.FASTENER else Part()))
    return item.id


def steps_that_go_both_ways(garage: Garage) -> list[int]:
    """The places of those that no order is stated for yet."""
    build = garage.now()
    named = {step for edge in build.step_edges for step in (edge.before, edge.after)}
    return [i for i, step in enumerate(build.steps) if step.direction == "both" and step.id not in named]


def wait(garage: Garage, step: int, *before: tuple[int, str], **values: str) -> Problem | None:
    predecessors = [StepEdge(garage.steps[i], garage.steps[step], reason) for i, reason in before]
    with garage.database.unit_of_work() as session:
        rev = session.get_one(Step, garage.steps[step]).rev
        return edit_step(
            session,
            garage.steps[step],
            dict(values),
            rev=rev,
            writer=garage.writer,
            now=NOW,
            predecessors=predecessors,
        )


def state(garage: Garage, item: str, *said: tuple[int, str, str], rev: int = 1) -> Problem | None:
    install_exceptions = [
        InstallException(item, garage.steps[step], what, 1, reason) for step, what, reason in said
    ]
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{item}", "edit", {})
        return set_install_exceptions(session, item, install_exceptions, line, rev=rev, now=NOW)


def names(garage: Garage) -> list[str]:
    build = garage.now()
    return [build.entries[i].item.name for i in build.order if build.entries[i].item.kind is not Kind.STEP]


def tell(garage: Garage, item: str, act: Act) -> None:
    seen = garage.entry(item).state.tips
    assert garage.receive(garage.line(f"item:{item}", after=seen, act=act)).status == 200


def test_a_stated_order_of_steps_moves_what_is_in_them_and_stands_in_the_journal(garage: Garage) -> None:
    first, second = steps_that_go_both_ways(garage)[:2]
    a, b = take_off(garage, "a", first), take_off(garage, "b", second)
    assert names(garage) == ["b", "a"]

    assert wait(garage, second, (first, "no room else")) is None

    build = garage.now()
    assert names(garage) == ["a", "b"]
    assert [(d.other, d.reason) for d in build.deviations if d.item == b] == [(a, "no room else")]
    assert [e.item.id for e in build.blocked_by(b)] == [a]
    body = garage.ask("SELECT body FROM journal WHERE verb = 'edit' ORDER BY seq DESC LIMIT 1")
    assert body == [(f'{{"rev": 2, "predecessors": [["{garage.steps[first]}", "no room else"]]}}',)]
    tell(garage, a, Act.PLACED)
    assert garage.now().blocked_by(b) == ()
    assert wait(garage, second) is None
    assert names(garage) == ["b", "a"]


@pytest.mark.parametrize(
    ("before", "reason", "where"),
    [("itself", "so", "predecessors"), ("0" * 32, "so", "predecessors"), ("", "", "")],
)
def test_a_step_that_waits_for_itself_or_for_one_that_is_gone_is_refused(
    garage: Garage, before: str, reason: str, where: str
) -> None:
    first, second = (garage.steps[i] for i in steps_that_go_both_ways(garage)[:2])
    rows = garage.rows()
    predecessors = [StepEdge({"itself": second, "": first}.get(before, before), second, reason)]
    with garage.database.unit_of_work() as session:
        problem = edit_step(
            session, second, {}, rev=1, writer=garage.writer, now=NOW, predecessors=predecessors
        )

    assert problem is not None
    assert problem.where == (where or "waits_why")
    assert garage.rows() == rows


def test_steps_in_a_circle_are_refused_and_named(garage: Garage) -> None:
    first, second = steps_that_go_both_ways(garage)[:2]
    assert wait(garage, second, (first, "so")) is None
    rows = garage.rows()

    problem = wait(garage, first, (second, "so"))

    assert problem is not None
    assert problem.code == "cycle"
    steps = garage.now().steps
    assert all(f"«{step_name(steps[i], Way.BACK)}»" in problem.message for i in (first, second))
    assert garage.rows() == rows


def test_a_circle_through_items_and_steps_is_refused_from_every_side(garage: Garage) -> None:
    first, second, third = steps_that_go_both_ways(garage)[:3]
    a, b = take_off(garage, "a", first), take_off(garage, "b", second)
    c = take_off(garage, "c", third)
    assert wait(garage, second, (first, "so")) is None

    with garage.database.unit_of_work() as session:
        closes = set_edges(session, a, "covers", {b}, garage.about(f"item:{a}", "edit", {}), now=NOW)
        assert set_edges(session, a, "covers", {c}, garage.about(f"item:{a}", "edit", {}), now=NOW) is None
    moved = replace(garage.entry(c).item, step=garage.steps[second])
    with garage.database.unit_of_work() as session:
        moves = edit_item(session, c, moved, garage.about(f"item:{c}", "edit", {}), rev=1, now=NOW)
    again = state(garage, a, (second, "twice", "to try it"))

    for problem in (closes, moves, again):
        assert problem is not None
        assert problem.code == "cycle"
    assert garage.entry(c).item.step == garage.steps[third]
    assert garage.now().install_exceptions == ()


def test_another_direction_can_close_a_circle_too(garage: Garage) -> None:
    first, second = steps_that_go_both_ways(garage)[:2]
    assert wait(garage, second, (first, "so"), direction="off_only") is None
    assert wait(garage, first, (second, "so")) is None

    problem = wait(garage, second, (first, "so"), direction="both")

    assert problem is not None
    assert problem.code == "cycle"


def test_a_group_tightened_in_a_later_step_stands_there_once_it_is_hand_tight(garage: Garage) -> None:
    first, second = steps_that_go_both_ways(garage)[:2]
    wheel, arm = take_off(garage, "wheel", first), take_off(garage, "arm", second, Kind.FASTENER)
    assert state(garage, arm, (first, "later", "at ride height")) is None

    assert names(garage) == ["arm", "wheel"]
    tell(garage, arm, Act.HAND_TIGHT)
    assert names(garage) == ["wheel", "arm"]
    assert [e.item.id for e in garage.now().blocked_by(arm)] == [wheel]
    assert garage.now().deferred == {arm: garage.steps[first]}
    tell(garage, wheel, Act.PLACED)
    assert garage.now().blocked_by(arm) == ()
    assert garage.entry(arm).is_open


def test_an_exception_from_a_stale_page_writes_nothing(garage: Garage) -> None:
    first, second = steps_that_go_both_ways(garage)[:2]
    arm = take_off(garage, "arm", second, Kind.FASTENER)
    assert state(garage, arm, (first, "later", "at ride height")) is None
    rows = garage.rows()

    problem = state(garage, arm, rev=1)

    assert problem is not None
    assert problem.code == "stale"
    assert garage.rows() == rows
    assert state(garage, arm, rev=2) is None
    assert garage.now().install_exceptions == ()


@pytest.mark.parametrize(
    ("what", "reason", "kind", "direction", "where"),
    [
        ("sideways", "so", Kind.FASTENER, "both", "what"),
        ("later", "so", Kind.PART, "both", "what"),
        ("later", "", Kind.FASTENER, "both", "reason"),
        ("later", "so", Kind.FASTENER, "off_only", "step"),
    ],
)
def test_an_exception_that_makes_no_sense_is_refused_with_its_field(
    garage: Garage, what: str, reason: str, kind: Kind, direction: str, where: str
) -> None:
    item = take_off(garage, "x", steps_that_go_both_ways(garage)[0], kind)
    step = next(i for i, each in enumerate(garage.now().steps) if each.direction == direction)
    rows = garage.rows()

    problem = state(garage, item, (step, what, reason))

    assert problem is not None
    assert problem.where == where
    assert garage.rows() == rows


def test_a_deleted_step_takes_what_names_it_along_and_says_how_many(garage: Garage) -> None:
    first, second = steps_that_go_both_ways(garage)[:2]
    arm = take_off(garage, "arm", second, Kind.FASTENER)
    assert state(garage, arm, (first, "later", "at ride height")) is None
    assert wait(garage, first, (second, "so")) is None
    with garage.database.unit_of_work() as session:
        gone = delete_step(session, garage.steps[first], writer=garage.writer, now=NOW)

    build = garage.now()
    assert garage.steps[first] not in build.step
    assert build.install_exceptions == ()
    assert all(garage.steps[first] not in {e.before, e.after} for e in build.step_edges)
    assert (garage.steps[second], garage.steps[first], "so") in gone.orders
    assert gone.exceptions == ((arm, "later", 1, "at ride height"),)


def test_a_step_asks_for_its_height_people_and_its_share_of_minutes(garage: Garage) -> None:
    both = steps_that_go_both_ways(garage)
    two = next(i for i in both if garage.now().steps[i].people == 2)
    a, b = take_off(garage, "a", two), take_off(garage, "b", two)
    step = garage.now().steps[two]
    turned = garage.line(f"build:{garage.build}", "turn", units=["vehicle"], to="together")
    assert garage.receive(turned).status == 200

    assert set(can_do_now(garage.now(), Here()).ready) >= {a, b}
    found = can_do_now(garage.now(), Here(people=1)).held
    assert {(h.item, h.code, h.need) for h in found} >= {(a, "people", "2"), (b, "people", "2")}
    few = {h.item: h.need for h in can_do_now(garage.now(), Here(minutes=1)).held if h.code == "minutes"}
    assert few[a] == str(-(-step.minutes // 2))
    other = "lift" if step.height != "lift" else "stands"
    heights = {h.item: h.need for h in can_do_now(garage.now(), Here(height=other)).held}
    assert heights[a] == step.height


def test_the_starter_steps_fill_before_they_crank_and_crank_before_they_start(garage: Garage) -> None:
    take_off(garage, "a", 1)
    build = garage.now()
    found = {h.item: h for h in can_do_now(build, Here()).held}
    last = [e.item.id for e in build.entries.values() if e.item.kind is Kind.STEP and e.item.id in found]

    assert len(last) >= 2
    assert all(found[step].code == "behind" for step in last)


def test_a_step_of_the_way_back_that_is_done_holds_nothing_up(garage: Garage) -> None:
    first = steps_that_go_both_ways(garage)[0]
    take_off(garage, "a", first)
    once = [i for i, step in enumerate(garage.now().steps) if step.direction == "on_only"][:2]
    last, before = once
    assert wait(garage, last, (before, "so")) is None
    waiting = garage.steps[last]
    assert garage.steps[before] in {e.item.id for e in garage.now().blocked_by(waiting)}

    assert garage.receive(garage.line(f"step:{garage.steps[before]}", act="done")).status == 200
    assert garage.steps[before] not in {e.item.id for e in garage.now().blocked_by(waiting)}
