from dataclasses import replace
from itertools import pairwise

import pytest

from app.core.cycles import CycleError
from app.core.items.kinds import Kind
from app.core.order.acts import (
    ELECTRIC,
    GROUND,
    GoesAfter,
    InstallException,
    Plan,
    PlanStep,
    StepEdge,
    Thing,
)
from app.core.order.graph_builder import build_graph
from app.core.order.plan_cycles import cycle_in
from app.core.phases.barriers import PLACED, WORKED, Barrier
from tests.core.order.plans import acts, edges, items, things


def test_what_is_fitted_twice_comes_out_again_before_it_goes_in_for_good() -> None:
    steps = (PlanStep("S", 0), PlanStep("T", 1))
    made = (Thing("a", step="S", off_seq=1), Thing("b", step="T", off_seq=2))
    graph = build_graph(
        Plan(made, steps, install_exceptions=(InstallException("a", "T", "twice", reason="to try it"),))
    )

    assert acts(graph) == ["a:place", "a:out", "b:place", "a:place2"]


def test_what_was_put_back_during_removal_comes_out_in_its_step_first() -> None:
    steps = (PlanStep("S", 0), PlanStep("lift", 1))
    made = (Thing("eye", step="S", off_seq=1), Thing("engine", step="lift", off_seq=2))
    graph = build_graph(Plan(made, steps, install_exceptions=(InstallException("eye", "lift", "during"),)))

    assert acts(graph) == ["eye:out", "engine:place", "eye:place2"]


def test_an_order_of_steps_goes_through_a_step_that_has_nothing_in_it() -> None:
    steps = tuple(PlanStep(step, i) for i, step in enumerate("STU"))
    made = (Thing("a", step="S", off_seq=1), Thing("b", step="U", off_seq=2))
    stated = (StepEdge("S", "T"), StepEdge("T", "U"))

    assert items(build_graph(Plan(made, steps, step_edges=stated))) == "ab"


def test_an_order_of_a_step_that_is_off_only_counts_for_nothing() -> None:
    steps = (PlanStep("drain", 0, "off_only"), PlanStep("S", 1))
    made = (Thing("plug", step="drain", off_seq=1), Thing("a", step="S", off_seq=2))

    assert items(build_graph(Plan(made, steps, step_edges=(StepEdge("drain", "S"),)))) == "aplug"


@pytest.mark.parametrize(
    ("plan", "members"),
    [
        (Plan(things("ab"), edges=edges("a holds b", "b covers a")), {"a", "b"}),
        (
            Plan((), (PlanStep("S", 0), PlanStep("T", 1)), (), (StepEdge("S", "T"), StepEdge("T", "S"))),
            {"S", "T"},
        ),
        (
            Plan(
                (Thing("a", step="S", off_seq=1), Thing("b", step="T", off_seq=2)),
                (PlanStep("S", 0), PlanStep("T", 1)),
                edges("a holds b"),
                (StepEdge("S", "T"),),
            ),
            {"a", "S", "T", "b"},
        ),
        (
            Plan(
                (Thing("a", step="S", off_seq=1), Thing("b", step="T", off_seq=2)),
                (PlanStep("S", 0), PlanStep("T", 1)),
                (),
                (StepEdge("S", "T"),),
                (InstallException("a", "T", "twice"),),
            ),
            {"a", "S", "T"},
        ),
    ],
)  # fmt: skip
def test_a_circle_of_items_steps_and_exceptions_is_named_truly(plan: Plan, members: set[str]) -> None:
    with pytest.raises(CycleError) as caught:
        build_graph(plan)
    assert set(caught.value.members) == members
    assert set(cycle_in(plan)) == members
    assert all(a != b for a, b in pairwise(caught.value.members))


def test_a_bound_of_something_that_does_not_go_back_counts_for_nothing() -> None:
    bound = {"clutch": (Barrier(WORKED, "lift_in", True),), "hose": (Barrier(PLACED, "landed", False),)}
    plan = Plan((Thing("hose", off_seq=2),), milestones=("lift_in", "landed"), barriers=bound)

    assert cycle_in(plan) == ()
    assert build_graph(plan).acts.keys() == {"hose"}


def test_the_battery_s_ground_waits_until_what_carries_current_and_fuel_is_joined_for_good() -> None:
    made = (
        Thing("cable", off_seq=3, finishes=True, current=ELECTRIC),
        Thing("ground", off_seq=4, current=GROUND),
    )
    assert acts(build_graph(Plan(made))) == ["cable:place", "cable:finish", "ground:place"]


def test_what_is_stated_to_go_first_is_finished_first_unless_it_is_a_group() -> None:
    hose, cover = Thing("hose", Kind.CONNECTION, off_seq=1, finishes=True), Thing("cover", off_seq=2)
    after = (GoesAfter("cover", "hose", "in the way"),)
    assert acts(build_graph(Plan((hose, cover), goes_after=after)))[-1] == "cover:place"
    group = replace(hose, kind=Kind.FASTENER)
    later = (InstallException("hose", "S", "later"),)
    plan = Plan((group, replace(cover, step="S")), (PlanStep("S", 0),), (), (), later, after)
    assert acts(build_graph(plan)) == ["hose:place", "cover:place", "hose:finish"]
