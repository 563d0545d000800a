from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.cycles import CycleError, find_cycle

WAITING = st.dictionaries(st.sampled_from("abcdefg"), st.lists(st.sampled_from("abcdefg"), max_size=3))


@given(WAITING)
def test_a_cycle_is_found_exactly_where_there_is_one_and_its_members_wait_for_each_other(
    waiting: dict[str, list[str]],
) -> None:
    graph: nx.DiGraph[str] = nx.DiGraph([(one, other) for one, all_ in waiting.items() for other in all_])

    found = find_cycle(waiting)

    assert bool(found) == (not nx.is_directed_acyclic_graph(graph))
    assert all(graph.has_edge(one, other) for one, other in pairwise(found))
    assert found[:1] == found[-1:]


def test_the_same_cycle_is_named_however_the_things_are_given() -> None:
    assert find_cycle({"b": ["a"], "a": ["b"]}) == find_cycle({"a": ["b"], "b": ["a"]}) == ("a", "b", "a")


def test_a_chain_of_ten_thousand_is_followed_to_its_end() -> None:
    assert find_cycle({n: [n + 1] for n in range(10_000)}) == ()


def test_the_error_carries_the_cycle() -> None:
    with pytest.raises(CycleError) as caught:
        raise CycleError(["a", "b", "a"])

    assert caught.value.members == ("a", "b", "a")
