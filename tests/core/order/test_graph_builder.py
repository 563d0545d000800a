from dataclasses import replace
from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given, settings

from app.core.cycles import CycleError
from app.core.items.items import Edge
from app.core.order.acts import (
    InstallException,
    Plan,
    PlanStep,
    StepEdge,
    Thing,
)
from app.core.order.graph_builder import build_graph, cycle_in
from app.core.phases.barriers import PLACED, WORKED, Barrier
from tests.core.order.plans import acts, edges, items, plans, things


@given(plans())
@settings(max_examples=150)
def test_a_plan_without_a_circle_gets_none_from_what_becomes_of_its_items(plan: Plan) -> None:
    if not cycle_in(plan):
        build_graph(plan)


@given(plans())
@settings(max_examples=250)
def test_a_circle_is_found_exactly_where_there_is_one_and_its_members_wait_for_each_other(plan: Plan) -> None:
    plan = replace(
        plan, install_exceptions=(), edges=tuple(edge for edge in plan.edges if edge.rel != "replaces")
    )
    plan = replace(plan, edges=tuple(draw_back(edge) for edge in plan.edges))
    went = {step.id for step in plan.steps if step.direction != "off_only"}
    waits = nx.DiGraph([(edge.frm, edge.to) for edge in plan.edges if edge.rel != "pairs"])
    waits.add_edges_from((f"{step}<", f"{step}>") for step in went)
    for thing in plan.things:
        if thing.step in went:
            waits.add_edges_from([(thing.id, f"{thing.step}>"), (f"{thing.step}<", thing.id)])
            if thing.step != thing.id and any(each.id == thing.step for each in plan.things):
                waits.add_edge(thing.step, thing.id)
    waits.add_edges_from(
        (f"{e.after}>", f"{e.before}<") for e in plan.step_edges if {e.before, e.after} <= went
    )

    members = cycle_in(plan)

    assert bool(members) is not nx.is_directed_acyclic_graph(waits)
    if members:
        assert members[0] == members[-1]
        direct = {(a.strip("<>"), b.strip("<>")) for a, b in waits.edges}
        assert set(pairwise(members)) <= direct


def draw_back(edge: Edge) -> Edge:
    """Turn some edges round, so that cycles come about."""
    return Edge(edge.to, edge.rel, edge.frm) if edge.rel == "covers" else edge


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


def test_nothing_waits_for_itself() -> None:
    assert cycle_in(Plan(things("a"), edges=edges("a holds a"))) == ("a", "a")
    alone = Plan((), (PlanStep("S", 0),), step_edges=(StepEdge("S", "S"),))
    assert cycle_in(alone) == ("S", "S")


def test_a_bound_of_something_that_does_not_go_back_counts_for_nothing() -> None:
    bound = {"clutch": (Barrier(WORKED, "lift_in", True),), "hose": (Barrier(PLACED, "landed", False),)}
    plan = Plan((Thing("hose", off_seq=2),), milestones=("lift_in", "landed"), barriers=bound)

    assert cycle_in(plan) == ()
    assert build_graph(plan).acts.keys() == {"hose"}
