"""What is stated in circles is named, whatever has become of the things."""

from dataclasses import replace
from itertools import pairwise

import networkx as nx
from hypothesis import given, settings

from app.core.items.items import Edge
from app.core.order.acts import Plan, PlanStep, StepEdge
from app.core.order.graph_builder import build_graph
from app.core.order.plan_cycles import cycle_in
from tests.core.order.plans import edges, plans, things


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


def test_nothing_waits_for_itself() -> None:
    assert cycle_in(Plan(things("a"), edges=edges("a holds a"))) == ("a", "a")
    alone = Plan((), (PlanStep("S", 0),), step_edges=(StepEdge("S", "S"),))
    assert cycle_in(alone) == ("S", "S")
