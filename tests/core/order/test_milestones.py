"""What waits for a milestone: it is told as such once nothing else stands before it."""

from datetime import date

import pytest

from app.core.cycles import CycleError
from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.order.acts import GoesAfter, Plan, Progress, Thing
from app.core.order.graph_builder import build_graph, cycle_in
from app.core.order.progress import OrderProgress
from app.core.order.ready import Held, Here, now
from app.core.phases.barriers import PLACED, WORKED, Barrier
from app.core.wording.order import held_text

PLAN = Plan(
    (Thing("clutch", Kind.FASTENER, off_seq=1, finishes=True), Thing("hose", off_seq=2)),
    milestones=("lift_in", "landed"),
    barriers=(Barrier("clutch", WORKED, "lift_in", True), Barrier("hose", PLACED, "landed", False)),
)
IN = Progress(placed=True, finished=True, looked_at=True)


def held(reached: frozenset[str] | None, **standing: Progress) -> tuple[Held, ...]:
    progress = OrderProgress(build_graph(PLAN), standing, reached)
    return now(progress, {}, Here(), stuck={}, waits={}).held


def test_before_a_milestone_what_comes_first_is_the_reason() -> None:
    assert held(frozenset()) == (Held("hose", "behind", "clutch"),)


def test_once_all_before_it_is_in_the_milestone_itself_is_the_reason() -> None:
    assert held(frozenset(), clutch=IN) == (Held("hose", "milestone", "lift_in"),)
    assert held(frozenset({"lift_in"}), clutch=IN) == (Held("hose", "milestone", "landed"),)
    assert held(frozenset({"lift_in", "landed"}), clutch=IN) == ()


def test_a_milestone_that_has_been_frees_what_comes_after_it_whatever_was_left_before_it() -> None:
    assert held(frozenset({"lift_in", "landed"})) == ()


def test_where_nobody_writes_milestones_down_they_have_been_once_all_before_them_is_in() -> None:
    assert held(None) == (Held("hose", "behind", "clutch"),)
    assert held(None, clutch=IN) == ()


def test_the_reason_is_said_in_words() -> None:
    hose = Item("hose", 1, Kind.CONNECTION)
    said = held_text(hose, Held("hose", "milestone", "landed"), None, date(2026, 5, 1))
    assert said == "first: the engine landed, its weight on its mounts"


def test_a_bound_of_something_that_does_not_go_back_counts_for_nothing() -> None:
    plan = Plan(PLAN.things[1:], milestones=PLAN.milestones, barriers=PLAN.barriers)
    assert cycle_in(plan) == ()
    assert build_graph(plan).acts.keys() == {"hose"}


def bound_by(*, is_firm: bool) -> Plan:
    """The clutch goes on before the lift-in, and is stated to go on after the hose, which waits for it."""
    first = Barrier("clutch", WORKED, "lift_in", is_before=True, is_firm=is_firm)
    after = GoesAfter("clutch", "hose", "no room")
    return Plan(
        PLAN.things, milestones=PLAN.milestones, barriers=(first, PLAN.barriers[1]), goes_after=(after,)
    )


def test_what_is_stated_overrules_the_side_that_only_a_step_tells_and_nothing_is_proved_then() -> None:
    graph = build_graph(bound_by(is_firm=False))

    assert list(graph.acts) == ["hose", "clutch"]
    assert graph.yielded == ("clutch",)
    assert not graph.is_proved


def test_what_is_stated_against_tied_ends_is_a_circle_that_names_both() -> None:
    with pytest.raises(CycleError) as caught:
        build_graph(bound_by(is_firm=True))
    assert set(caught.value.members) == {"clutch", "lift_in", "landed", "hose"}
