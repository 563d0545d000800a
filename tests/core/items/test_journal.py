from itertools import pairwise

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.journal import History, Line
from app.core.items.kinds import Act
from tests.core.items.lines import mark, three_phones, undo

OFF = mark("a", Act.OFF)
TIGHT = mark("b", Act.TIGHT, after=["a"])


def in_force(*lines: Line) -> str:
    return "".join(sorted(line.id for line in History(lines).in_force))


def test_a_line_waits_for_the_line_it_names_and_counts_once_that_is_there() -> None:
    alone = History([TIGHT])

    assert (alone.lines, alone.pending, alone.tips()) == ((), (TIGHT,), ())
    assert History([TIGHT, OFF]).lines == (OFF, TIGHT)
    assert History([TIGHT, OFF]).pending == ()


def test_what_follows_a_waiting_line_waits_with_it() -> None:
    assert len(History([TIGHT, mark("c", Act.CHECKED, after=["b"])]).pending) == 2


def test_lines_that_name_each_other_wait_for_ever_and_harm_no_other() -> None:
    history = History([OFF, mark("x", Act.TIGHT, after=["y"]), mark("y", Act.OFF, after=["x"])])

    assert (history.lines, len(history.pending)) == ((OFF,), 2)


def test_an_undone_line_is_not_in_force() -> None:
    assert in_force(OFF, TIGHT, undo("u", "b", after=["b"])) == "a"


def test_an_undo_of_the_undo_brings_the_line_back() -> None:
    undone = (OFF, TIGHT, undo("u", "b", after=["b"]))

    assert in_force(*undone, undo("v", "u", after=["u"])) == "ab"
    assert in_force(*undone, undo("v", "u", after=["u"]), undo("w", "v", after=["v"])) == "a"


def test_one_of_two_undos_is_enough() -> None:
    twice = (undo("u", "b", after=["b"]), undo("v", "b", after=["b"]))

    assert in_force(OFF, TIGHT, *twice, undo("w", "u", after=["u"])) == "a"


def test_a_line_undone_in_the_middle_leaves_the_later_ones_standing_on_what_was_before() -> None:
    history = History([OFF, TIGHT, mark("c", Act.CHECKED, after=["b"]), undo("u", "b", after=["c"])])

    assert [line.id for line in history.in_force] == ["a", "c"]
    assert history.saw("c", "a")
    assert [line.id for line in history.heads(history.in_force)] == ["c"]


def test_an_undo_that_comes_before_its_line_works_when_the_line_comes() -> None:
    assert in_force(undo("u", "a")) == ""
    assert in_force(undo("u", "a"), OFF) == ""
    assert History([undo("u", "a"), OFF]).undone == {"a"}


def test_undos_that_name_each_other_undo_nothing() -> None:
    assert History([undo("u", "v"), undo("v", "u")]).undone == {"u", "v"}
    assert in_force(OFF, undo("u", "v"), undo("v", "w"), undo("w", "u")) == "a"


def test_a_thousand_changes_of_mind_are_followed_to_the_last() -> None:
    chain = [undo(f"u{i}", f"u{i - 1}" if i else "b") for i in range(1001)]

    assert in_force(OFF, TIGHT, *chain) == "a"
    assert in_force(OFF, TIGHT, *chain[:-1]) == "ab"


def test_the_next_line_names_all_that_nobody_has_built_upon() -> None:
    both = History([OFF, TIGHT, mark("c", Act.HAND_TIGHT, after=["a"])])

    assert both.tips() == ("b", "c")


@given(three_phones(), st.randoms(use_true_random=False))
@settings(max_examples=60)
def test_what_a_writer_had_seen_is_what_leads_to_the_line(lines: list[Line], chance: object) -> None:
    graph = nx.DiGraph()
    graph.add_nodes_from(line.id for line in lines)
    graph.add_edges_from((seen, line.id) for line in lines for seen in line.after)
    mixed = list(lines)
    chance.shuffle(mixed)  # type: ignore[attr-defined] # Hypothesis gives a Random

    history = History(mixed)

    for line in lines:
        ancestors = nx.ancestors(graph, line.id)
        assert {other.id for other in lines if history.saw(line.id, other.id)} == ancestors
    assert set(history.tips()) == {node for node, degree in graph.out_degree() if degree == 0}
    place = {line.id: i for i, line in enumerate(history.lines)}
    assert all(place[a] < place[b] for a, b in graph.edges)
    assert all(a is not b for a, b in pairwise(history.lines))
