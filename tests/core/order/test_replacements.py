from app.core.order.acts import (
    Plan,
    Thing,
)
from app.core.order.graph_builder import build_graph
from tests.core.order.plans import edges, items, things


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
