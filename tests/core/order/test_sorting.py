from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.cycles import CycleError, find_cycle
from app.core.items.items import BLOCKING, Edge
from app.core.items.kinds import Kind
from app.core.order.acts import PLACE, Plan, PlanStep, Thing
from app.core.order.graph_builder import build_graph
from app.core.order.sorting import cycle_among, end_of

Graph = tuple[list[str], list[tuple[str, str]]]


PLAN = tuple(PlanStep(str(i), i) for i in range(12))


def things(*ids: str) -> list[Thing]:
    """Parts that came off one after another, a step each."""
    return [Thing(name, step=str(i), off_seq=i + 1) for i, name in enumerate(ids)]


def on_only(**places: int) -> list[PlanStep]:
    """Steps of the way back by their names, with their places in the plan."""
    return [PlanStep(name, place, "on_only") for name, place in places.items()]


def holds(*pairs: str) -> list[Edge]:
    return [Edge(pair[0], "holds", pair[1]) for pair in pairs]


def order(of: list[Thing], edges: list[Edge] | None = None, *, steps: list[PlanStep] | None = None) -> str:
    extra = steps or []
    made = (*of, *(Thing(step.id, Kind.STEP, step.id) for step in extra))
    graph = build_graph(Plan(made, (*PLAN, *extra), tuple(edges or ())))
    acts = (graph.nodes[i] for i in graph.order)
    return "".join(act.of for act in acts if act.what == PLACE)


@st.composite
def acyclic(draw: st.DrawFn) -> Graph:
    """Names, and pairs of them that always point from the left to the right."""
    names = draw(st.permutations("abcdefghijkl"))[: draw(st.integers(1, 12))]
    pairs = [(a, b) for i, a in enumerate(names) for b in names[i + 1 :]]
    return names, draw(st.lists(st.sampled_from(pairs), max_size=25)) if pairs else []


@st.composite
def any_graph(draw: st.DrawFn) -> Graph:
    names = list("abcdefg")
    return names, draw(st.lists(st.tuples(st.sampled_from(names), st.sampled_from(names)), max_size=14))


@given(acyclic(), st.sampled_from(sorted(BLOCKING)))
@settings(max_examples=100)
def test_the_reverse_of_a_teardown_that_respected_its_edges_is_the_strict_reverse(
    graph: Graph, rel: str
) -> None:
    came_off, pairs = graph
    edges = [Edge(first, rel, second) for first, second in pairs]

    assert order(things(*came_off), edges) == "".join(came_off[::-1])


@given(acyclic(), st.data())
@settings(max_examples=150)
def test_any_teardown_goes_back_each_once_with_what_is_held_before_what_holds(
    graph: Graph, data: st.DataObject
) -> None:
    names, pairs = graph
    came_off = data.draw(st.permutations(names))
    edges = [Edge(a, data.draw(st.sampled_from(sorted(BLOCKING))), b) for a, b in pairs]

    found = order(things(*came_off), edges)

    back = nx.DiGraph([(b, a) for a, b in pairs])
    back.add_nodes_from(names)
    plain = {name: rank for rank, name in enumerate(reversed(came_off))}
    assert list(found) == list(nx.lexicographical_topological_sort(back, key=plain.__getitem__))


@given(any_graph())
@settings(max_examples=150)
def test_a_circle_is_found_exactly_where_there_is_one_and_is_real(graph: Graph) -> None:
    names, pairs = graph
    predecessors: dict[str, list[str]] = {name: [b for a, b in pairs if a == name] for name in names}
    cycle = find_cycle(predecessors)

    assert bool(cycle) is not nx.is_directed_acyclic_graph(nx.DiGraph(pairs))
    if cycle:
        assert cycle[0] == cycle[-1]
        assert len(set(cycle[:-1])) == len(cycle) - 1
        assert set(pairwise(cycle)) <= set(pairs)


@given(any_graph())
@settings(max_examples=100)
def test_an_order_is_refused_with_a_real_circle_or_holds_everything(graph: Graph) -> None:
    names, pairs = graph
    pairs = [pair for pair in pairs if pair[0] != pair[1]]
    edges = [Edge(a, "covers", b) for a, b in pairs]
    if nx.is_directed_acyclic_graph(nx.DiGraph(pairs)):
        found = order(things(*names), edges)
        assert sorted(found) == names
        assert all(found.index(b) < found.index(a) for a, b in pairs)
    else:
        with pytest.raises(CycleError) as caught:
            order(things(*names), edges)
        members = caught.value.members
        assert members[0] == members[-1]
        assert len(members) > 2
        assert set(pairwise(members)) <= set(pairs)


def test_without_edges_it_is_the_reverse() -> None:
    assert order(things("a", "b", "c")) == "cba"


def test_the_order_in_which_things_are_named_changes_nothing() -> None:
    assert order(things("a", "b", "c")[::-1]) == "cba"


@pytest.mark.parametrize("rel", ["pairs", "moves_to"])
def test_other_relations_move_nothing(rel: str) -> None:
    assert order(things("a", "b"), [Edge("b", rel, "a")]) == "ba"


def test_what_holds_follows_at_once_when_what_it_holds_is_in() -> None:
    assert order(things("a", "b", "c", "d"), holds("db")) == "cbda"


def test_an_edge_to_something_that_does_not_go_back_is_passed_over() -> None:
    assert order(things("a", "b"), holds("bx", "xa")) == "ba"


def test_three_that_wait_for_each_other_are_named() -> None:
    with pytest.raises(CycleError) as caught:
        order(things("a", "b", "c", "d"), holds("ab", "bc", "ca", "da"))

    assert caught.value.members == ("a", "b", "c", "a")


def replaces(*pairs: str) -> list[Edge]:
    return [Edge(pair[0], "replaces", pair[1]) for pair in pairs]


def test_a_replacement_takes_the_place_of_the_old_one() -> None:
    new = Thing("N", off_seq=99)

    assert order([*things("a", "b", "c"), new], replaces("Nb")) == "cNa"


def test_a_replacement_takes_the_edges_of_the_old_one_both_ways() -> None:
    new = Thing("N", off_seq=99)

    assert order([*things("a", "b", "c"), new], [*holds("cb", "ba"), *replaces("Nb")]) == "aNc"


def test_a_replacement_of_a_replacement_stands_where_the_first_one_stood() -> None:
    two = [Thing("M", off_seq=98), Thing("N", off_seq=99)]
    twice = replaces("Mb", "NM")

    assert order([*things("a", "b", "c"), *two], twice) == "cNa"
    assert order([*things("a", "b", "c"), *two], [*holds("cb"), *twice]) == "Nca"


def test_a_replacement_that_is_not_here_leaves_the_old_one_in_its_place() -> None:
    assert order(things("a", "b"), replaces("Nb")) == "ba"


def test_links_are_followed_to_their_end_also_round_a_circle() -> None:
    assert end_of("a", {"a": "b", "b": "c"}) == "c"
    assert end_of("x", {"a": "b"}) == "x"
    assert end_of("a", {"a": "b", "b": "a"}) == "b"


def test_things_that_replace_each_other_are_a_circle() -> None:
    assert cycle_among([Edge("a", "replaces", "b"), Edge("b", "replaces", "a")]) == ("a", "b", "a")
    assert cycle_among([Edge("a", "pairs", "b"), Edge("b", "pairs", "a")]) == ()


def test_what_a_replacement_takes_over_can_close_a_circle() -> None:
    taken_over = [Edge("N", "replaces", "b"), *holds("ab")]

    assert cycle_among(taken_over) == ()
    assert cycle_among([*taken_over, *holds("Na")]) == ("N", "a", "N")
    assert cycle_among([*taken_over, *holds("Nb")]) == ()


def test_a_step_of_the_way_back_stands_where_the_reverse_of_the_plan_has_it() -> None:
    assert order(things("a", "b", "c"), steps=on_only(S=1)) == "cSba"
    assert order(things("a", "b", "c"), steps=on_only(S=0)) == "cbSa"
    assert order(things("a", "b", "c"), steps=on_only(S=7)) == "Scba"


def test_steps_of_the_way_back_follow_each_other_in_the_reverse_of_the_plan() -> None:
    assert order(things("a", "b"), steps=on_only(S=5, T=6, R=4)) == "TSRba"


def test_a_step_before_all_that_came_off_is_the_last_to_be_done() -> None:
    off = [Thing("a", step="3", off_seq=1), Thing("b", step="4", off_seq=2)]

    assert order(off, steps=on_only(S=1)) == "baS"


def test_what_came_off_in_an_unknown_step_moves_no_step() -> None:
    unknown = Thing("u", off_seq=9)

    assert order([*things("a", "b"), unknown], steps=on_only(S=0)) == "ubSa"


def test_what_of_an_early_step_came_off_late_goes_back_with_its_step() -> None:
    late = Thing("l", step="0", off_seq=9)

    assert order([*things("a", "b", "c"), late], steps=on_only(S=1)) == "cSbla"


@given(
    st.lists(
        st.tuples(st.integers(0, 3), st.integers(1, 40)), min_size=1, max_size=9, unique_by=lambda x: x[1]
    )
)
@settings(max_examples=100)
def test_the_clock_counts_inside_a_step_and_nowhere_else(came_off: list[tuple[int, int]]) -> None:
    made = [Thing("abcdefghi"[nth], step=str(step), off_seq=at) for nth, (step, at) in enumerate(came_off)]

    expected = sorted(made, key=lambda thing: (int(thing.step), thing.off_seq), reverse=True)
    assert order(made) == "".join(thing.id for thing in expected)


def test_what_came_off_in_no_known_step_goes_with_the_step_in_which_work_was_then() -> None:
    off = [Thing("a", step="1", off_seq=1), Thing("b", step="2", off_seq=3), Thing("u", off_seq=2)]

    assert order(off) == "bua"


def test_five_thousand_in_one_chain_are_ordered() -> None:
    names = [f"{i:04d}" for i in range(5000)]
    chain = [Edge(a, "joins", b) for a, b in zip(names[1:], names, strict=False)]

    assert order(things(*names), chain) == "".join(names)
