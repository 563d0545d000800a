import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from app.core.order.components import strongly_connected_components

LINKS = st.integers(1, 9).flatmap(
    lambda n: st.lists(st.lists(st.integers(0, n - 1), max_size=3), min_size=n, max_size=n)
)


@given(LINKS, st.data())
def test_the_components_are_those_of_another_library(before: list[list[int]], data: st.DataObject) -> None:
    among = data.draw(st.sets(st.integers(0, len(before) - 1)))
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(among)
    graph.add_edges_from((i, other) for i in among for other in before[i] if other in among)

    found = strongly_connected_components(before, among)

    assert set(found) == {frozenset(c) for c in nx.strongly_connected_components(graph) if len(c) > 1}
    assert len(found) == len(set(found))


def test_a_node_that_waits_for_itself_alone_is_no_component() -> None:
    assert strongly_connected_components([[0]], {0}) == []


def test_a_ring_of_ten_thousand_is_one_component() -> None:
    size = 10_000

    assert strongly_connected_components([[(i + 1) % size] for i in range(size)], set(range(size))) == [
        frozenset(range(size))
    ]
