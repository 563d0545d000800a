from dataclasses import replace
from graphlib import TopologicalSorter
from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.cycles import CycleError
from app.core.items.items import Connection, Edge, Item
from app.core.items.kinds import Kind
from app.core.order.acts import (
    INSTALL_EXCEPTIONS,
    InstallException,
    Plan,
    PlanStep,
    StepEdge,
    Thing,
    thing_of,
)
from app.core.order.graph import ACTS, Deviation, Graph
from app.core.order.graph_builder import build_graph, cycle_in

NAMES = "abcdefgh"
STEPS = ("S", "T", "U")


def things(names: str, **changed: Thing) -> tuple[Thing, ...]:
    """Parts that came off one after another."""
    return tuple(changed.get(name, Thing(name, off_seq=i + 1)) for i, name in enumerate(names))


def bolts(name: str, off_seq: int, step: str = "") -> Thing:
    return Thing(name, Kind.FASTENER, step, off_seq, finishes=True)


def edges(*said: str) -> tuple[Edge, ...]:
    """Edges from "a holds b"."""
    return tuple(Edge(*each.split()) for each in said)


def acts(graph: Graph) -> list[str]:
    nodes = [graph.nodes[i] for i in graph.order]
    return [f"{p.of}:{p.what}{p.nth if p.nth > 1 else ''}" for p in nodes if p.what in ACTS]


def items(graph: Graph) -> str:
    return "".join(dict.fromkeys(act.partition(":")[0] for act in acts(graph)))


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """Any plan of eight things in three steps: its edges may go round in a circle."""
    names = draw(st.permutations(NAMES))[: draw(st.integers(1, len(NAMES)))]
    kinds = st.sampled_from([Kind.PART, Kind.FASTENER, Kind.CONNECTION])
    made = []
    for i, name in enumerate(names):
        kind = draw(kinds)
        step = draw(st.sampled_from(["", *STEPS]))
        current = draw(st.sampled_from(["", "", "electric", "ground"]))
        made.append(
            Thing(
                name,
                kind,
                step,
                i + 1,
                draw(st.integers(0, 4)) > 0,
                kind is not Kind.PART,
                draw(st.booleans()),
                current,
            )
        )
    directions = [draw(st.sampled_from(["both", "on_only", "off_only"])) for _ in STEPS]
    steps = [PlanStep(step, i, way) for i, (step, way) in enumerate(zip(STEPS, directions, strict=True))]
    made += [Thing(step.id, Kind.STEP, step.id) for step in steps if step.direction == "on_only"]
    pair = st.tuples(st.sampled_from(names), st.sampled_from(names)).filter(lambda two: two[0] < two[1])
    rels = st.sampled_from(["holds", "joins", "covers", "replaces", "pairs"])
    said = draw(st.lists(st.tuples(pair, rels), max_size=8)) if len(names) > 1 else []
    step_pairs = draw(st.lists(st.tuples(st.sampled_from(STEPS), st.sampled_from(STEPS)), max_size=2))
    install_exceptions = draw(
        st.dictionaries(st.sampled_from(names), st.sampled_from(INSTALL_EXCEPTIONS), max_size=2)
    )
    return Plan(
        tuple(made),
        tuple(steps),
        tuple(Edge(frm, rel, to) for (frm, to), rel in said),
        tuple(StepEdge(a, b, "why") for a, b in step_pairs if a != b),
        tuple(
            InstallException(name, draw(st.sampled_from(STEPS)), what)
            for name, what in install_exceptions.items()
        ),
    )


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


def test_what_is_fitted_twice_comes_out_again_before_it_goes_in_for_good() -> None:
    steps = (PlanStep("S", 0), PlanStep("T", 1))
    made = (Thing("a", step="S", off_seq=1), Thing("b", step="T", off_seq=2))
    graph = build_graph(
        Plan(made, steps, install_exceptions=(InstallException("a", "T", "twice", reason="to try it"),))
    )

    assert acts(graph) == ["a:place", "a:out", "b:place", "a:place2"]


def test_what_was_put_back_during_removal_comes_out_in_its_step_first() -> None:
    steps = (PlanStep("lift", 0), PlanStep("S", 1))
    made = (Thing("eye", step="S", off_seq=1), Thing("engine", step="lift", off_seq=2))
    graph = build_graph(Plan(made, steps, install_exceptions=(InstallException("eye", "lift", "during"),)))

    assert acts(graph) == ["eye:out", "engine:place", "eye:place2"]


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


def test_an_order_of_steps_goes_through_a_step_that_has_nothing_in_it() -> None:
    steps = tuple(PlanStep(step, i) for i, step in enumerate("STU"))
    made = (Thing("a", step="S", off_seq=1), Thing("b", step="U", off_seq=2))
    stated = (StepEdge("S", "T"), StepEdge("T", "U"))

    assert items(build_graph(Plan(made, steps, step_edges=stated))) == "ab"


def test_an_order_of_a_step_that_is_off_only_counts_for_nothing() -> None:
    steps = (PlanStep("drain", 0, "off_only"), PlanStep("S", 1))
    made = (Thing("plug", step="drain", off_seq=1), Thing("a", step="S", off_seq=2))

    assert items(build_graph(Plan(made, steps, step_edges=(StepEdge("drain", "S"),)))) == "aplug"


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


@pytest.mark.parametrize(
    ("sort", "name", "current"),
    [
        ("battery cable", "Battery negative", "ground"),
        ("ground strap", "Battery to body ground", "ground"),
        ("ground strap", "Engine to body ground", "electric"),
        ("battery cable", "Battery positive", "electric"),
        ("coolant hose", "Hose under the battery", ""),
    ],
)
def test_the_batterys_ground_is_known_by_its_text(sort: str, name: str, current: str) -> None:
    item = Item("a", 1, Kind.CONNECTION, name, detail=Connection(sort))
    assert thing_of(item).current == current


def test_replacements_go_n_to_m() -> None:
    two_for_one = edges("x replaces b", "y replaces b", "b covers a", "c covers b")
    made = (*things("cba"), Thing("x", off_seq=8), Thing("y", off_seq=9))
    assert items(build_graph(Plan(made, edges=two_for_one))) == "ayxc"

    one_for_two = edges("x replaces b", "x replaces c", "b covers a", "d covers c")
    made = (*things("dcba"), Thing("x", off_seq=9))
    assert items(build_graph(Plan(made, edges=one_for_two))) == "axd"


def test_a_replacement_with_edges_of_its_own_does_not_inherit_what_the_old_one_covered() -> None:
    made = (*things("abc"), Thing("n", off_seq=9))
    said = edges("n replaces b", "b covers a", "n covers c")
    assert items(build_graph(Plan(made, edges=said))) == "cna"


def test_a_new_one_with_no_old_and_an_old_one_left_out_need_nothing_of_each_other() -> None:
    left_out = Thing("b", off_seq=2, goes_back=False)
    made = (*things("abc", b=left_out), Thing("n", off_seq=9))
    assert items(build_graph(Plan(made, edges=edges("c covers b", "b covers a")))) == "nca"


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


def test_what_replaces_a_replacement_stands_in_its_place_also_when_that_never_goes_back() -> None:
    middle = Thing("m", off_seq=8, goes_back=False)
    made = (*things("ba"), middle, Thing("n", off_seq=9))
    said = edges("m replaces b", "n replaces m", "b covers a")
    assert items(build_graph(Plan(made, edges=said))) == "an"


def test_nothing_waits_for_itself() -> None:
    assert cycle_in(Plan(things("a"), edges=edges("a holds a"))) == ("a", "a")
    alone = Plan((), (PlanStep("S", 0),), step_edges=(StepEdge("S", "S"),))
    assert cycle_in(alone) == ("S", "S")
