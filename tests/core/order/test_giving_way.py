"""What gives way where acts would wait for each other."""

from dataclasses import replace

import pytest

from app.core.cycles import CycleError
from app.core.items.kinds import Kind
from app.core.order.acts import GoesAfter, Plan, Thing
from app.core.order.graph_builder import build_graph
from app.core.phases.barriers import PLACED, WORKED, Barrier

PLAN = Plan(
    (Thing("clutch", Kind.FASTENER, off_seq=1, finishes=True), Thing("hose", off_seq=2)),
    milestones=("lift_in", "landed"),
    barriers={"clutch": (Barrier(WORKED, "lift_in", True),), "hose": (Barrier(PLACED, "landed", False),)},
)


def bound_by(*, is_firm: bool) -> Plan:
    """The clutch goes on before the lift-in, and is stated to go on after the hose, which waits for it."""
    first = Barrier(WORKED, "lift_in", is_before=True, is_firm=is_firm)
    after = GoesAfter("clutch", "hose", "no room")
    return replace(PLAN, barriers={**PLAN.barriers, "clutch": (first,)}, goes_after=(after,))


def test_what_is_stated_overrules_the_side_that_only_a_step_tells_and_nothing_is_proved_then() -> None:
    graph = build_graph(bound_by(is_firm=False))

    assert list(graph.acts) == ["hose", "clutch"]
    assert graph.yielded == ("clutch",)
    assert not graph.is_proved


def test_what_is_stated_against_tied_ends_is_a_circle_that_names_both() -> None:
    with pytest.raises(CycleError) as caught:
        build_graph(bound_by(is_firm=True))
    assert set(caught.value.members) == {"clutch", "lift_in", "landed", "hose"}
