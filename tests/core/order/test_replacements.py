from app.core.items.items import Edge
from app.core.order.acts import (
    Plan,
    Thing,
)
from app.core.order.graph import ACTS, Graph
from app.core.order.graph_builder import build_graph


def things(names: str, **changed: Thing) -> tuple[Thing, ...]:
    """Parts that came off one after another."""
    return tuple(changed.get(name, Thing(name, off_seq=i + 1)) for i, name in enumerate(names))


def edges(*said: str) -> tuple[Edge, ...]:
    """Edges from "a holds b"."""
    return tuple(Edge(*each.split()) for each in said)


def acts(graph: Graph) -> list[str]:
    nodes = [graph.nodes[i] for i in graph.order]
    return [f"{p.of}:{p.what}{p.nth if p.nth > 1 else ''}" for p in nodes if p.what in ACTS]


def items(graph: Graph) -> str:
    return "".join(dict.fromkeys(act.partition(":")[0] for act in acts(graph)))


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


def test_what_replaces_a_replacement_stands_in_its_place_also_when_that_never_goes_back() -> None:
    middle = Thing("m", off_seq=8, goes_back=False)
    made = (*things("ba"), middle, Thing("n", off_seq=9))
    said = edges("m replaces b", "n replaces m", "b covers a")
    assert items(build_graph(Plan(made, edges=said))) == "an"
