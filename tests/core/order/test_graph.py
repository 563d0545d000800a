from graphlib import TopologicalSorter

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.cycles import CycleError
from app.core.items.kinds import Kind
from app.core.order.acts import (
    InstallException,
    Plan,
    PlanStep,
    StepEdge,
    Thing,
)
from app.core.order.graph import Deviation
from app.core.order.graph_builder import build_graph
from app.core.order.plan_cycles import cycle_in
from tests.core.order.plans import NAMES, acts, bolts, edges, items, plans, things


@given(st.permutations(NAMES))
@settings(max_examples=30)
def test_without_edges_it_is_the_reverse_of_taking_off_and_nothing_else(came_off: list[str]) -> None:
    graph = build_graph(Plan(things("".join(came_off))))

    assert items(graph) == "".join(reversed(came_off))
    assert graph.deviations() == ()


@given(plans())
@settings(max_examples=250)
def test_any_plan_gives_a_valid_order_of_all_acts_or_a_real_circle(plan: Plan) -> None:
    try:
        graph = build_graph(plan)
    except CycleError:
        assert cycle_in(plan)
        return
    waits = {i: set(first) for i, first in enumerate(graph.before)}
    back = nx.DiGraph([(earlier, later) for later, first in waits.items() for earlier in first])
    back.add_nodes_from(waits)
    list(TopologicalSorter(waits).static_order())  # raises on a cycle
    assert list(graph.order) == list(
        nx.lexicographical_topological_sort(back, key=lambda i: (graph.rank[i], i))
    )


@given(plans())
@settings(max_examples=150)
def test_what_is_stated_is_never_given_up_for_a_default(plan: Plan) -> None:
    try:
        graph = build_graph(plan)
    except CycleError:
        return
    place = {item: graph.position[act] for item, act in graph.last_place.items()}
    for edge in plan.edges:
        if edge.rel in {"holds", "joins", "covers"} and {edge.frm, edge.to} <= place.keys():
            assert place[edge.to] < place[edge.frm]
    went = {step.id for step in plan.steps if step.direction != "off_only"}
    step_of = {thing.id: thing.step for thing in plan.things}
    moved = {exception.item for exception in plan.install_exceptions}
    for stated in plan.step_edges:
        before, after = (
            [place[i] for i in place if step_of[i] == step and i not in moved]
            for step in (stated.before, stated.after)
        )
        if {stated.before, stated.after} <= went and before and after:
            assert max(before) < min(after)


def test_all_groups_of_a_joint_are_started_before_one_is_tightened() -> None:
    made = (Thing("p", off_seq=3), bolts("a", 1), bolts("b", 2))
    graph = build_graph(Plan(made, edges=edges("a holds p", "b holds p")))

    assert acts(graph) == ["p:place", "b:place", "a:place", "b:finish", "a:finish"]


def test_a_long_bolt_through_what_covers_the_short_ones_overrules_that() -> None:
    """The short bolts are tightened before the bracket goes over them; the long one holds both."""
    made = (bolts("long", 1), Thing("bracket", off_seq=2), bolts("short", 3), Thing("pump", off_seq=4))
    tied = edges("long holds pump", "long holds bracket", "short holds pump", "bracket covers short")

    assert acts(build_graph(Plan(made, edges=tied))) == [
        "pump:place", "short:place", "short:finish", "bracket:place", "long:place", "long:finish",
    ]  # fmt: skip
    assert cycle_in(Plan(made, edges=tied)) == ()


def test_what_is_covered_is_finished_before_it_is_covered() -> None:
    made = (Thing("cover", off_seq=1), bolts("b", 2), Thing("pipe", off_seq=3))
    assert acts(build_graph(Plan(made, edges=edges("cover covers b", "b holds pipe")))) == [
        "pipe:place", "b:place", "b:finish", "cover:place",
    ]  # fmt: skip


def test_what_is_tightened_in_a_later_step_waits_for_that_steps_things_and_may_be_covered() -> None:
    steps = (PlanStep("wheels", 0), PlanStep("arms", 1))
    made = (Thing("wheel", step="wheels", off_seq=1), Thing("tray", off_seq=2), bolts("b", 3, "arms"))
    later = InstallException("b", "wheels", "later", reason="at ride height")
    graph = build_graph(Plan(made, steps, edges("tray covers b"), install_exceptions=(later,)))

    assert acts(graph) == ["b:place", "tray:place", "wheel:place", "b:finish"]
    assert graph.deviations() == (Deviation("b", "later", "wheels", reason="at ride height"),)


def test_what_is_tightened_in_a_later_step_waits_also_for_what_comes_late_in_that_step() -> None:
    steps = (PlanStep("wheels", 0), PlanStep("arms", 1))
    made = (
        Thing("hub", off_seq=1),
        Thing("wheel", step="wheels", off_seq=2),
        Thing("cap", step="wheels", off_seq=3),
        bolts("b", 4, "arms"),
    )
    graph = build_graph(
        Plan(
            made,
            steps,
            edges("wheel covers hub"),
            install_exceptions=(InstallException("b", "wheels", "later"),),
        )
    )

    assert acts(graph) == ["b:place", "cap:place", "hub:place", "wheel:place", "b:finish"]


def test_a_step_of_the_way_back_is_done_when_what_is_tightened_in_it_is_tight() -> None:
    steps = (PlanStep("settle", 0, "on_only"), PlanStep("mounts", 1))
    settle = Thing("settle", Kind.STEP, "settle")
    made = (Thing("x", step="mounts", off_seq=1), bolts("b", 2, "mounts"), settle)
    graph = build_graph(Plan(made, steps, install_exceptions=(InstallException("b", "settle", "later"),)))

    assert acts(graph) == ["b:place", "x:place", "b:finish", "settle:place"]


def test_a_stated_order_of_steps_moves_all_of_one_and_says_why() -> None:
    steps = (PlanStep("hoses", 0), PlanStep("harness", 1))
    made = (
        Thing("h", step="hoses", off_seq=1),
        Thing("w", step="harness", off_seq=2),
        Thing("v", step="harness", off_seq=3),
    )
    graph = build_graph(Plan(made, steps, step_edges=(StepEdge("hoses", "harness", "room for the arm"),)))

    assert items(graph) == "hvw"
    assert graph.deviations() == (
        Deviation("v", "moved", "h", "stated", "room for the arm"),
        Deviation("w", "moved", "h", "stated", "room for the arm"),
    )


def test_the_ground_cable_is_joined_last_unless_it_is_stated_otherwise() -> None:
    electric = [
        Thing(name, Kind.CONNECTION, off_seq=i, finishes=True, current="electric")
        for i, name in enumerate("ef", 1)
    ]
    made = (*electric, Thing("g", Kind.CONNECTION, off_seq=3, finishes=True, current="ground"))

    graph = build_graph(Plan(made))
    assert items(graph) == "feg"
    assert graph.deviations() == (Deviation("g", "moved", "e", "ground-last"),)
    assert items(build_graph(Plan(made, edges=edges("e joins g")))) == "fge"
