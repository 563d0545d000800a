import pytest

from app.core.cycles import CycleError
from app.core.order.acts import BEGIN, CHECK, END, FINISH, JOINT, Node
from app.core.order.draft import Draft


def drawn(*ids: str) -> Draft:
    """Things by their places, which is where they stand in the plain reverse too."""
    draft = Draft()
    for nth, each in enumerate(ids):
        draft.add(Node(each), (nth, 0))
    return draft


def test_a_node_has_one_place_however_often_it_is_added() -> None:
    draft = drawn("a", "b")

    assert draft.add(Node("a"), (9, 0)) == 0
    assert len(draft.nodes) == len(draft.before) == 2
    assert draft.rank[0] == (0, 0)


def test_what_waits_comes_after_what_it_waits_for_and_all_else_stays_in_its_rank() -> None:
    draft = drawn("a", "b", "c")
    draft.wait(0, 1, "holds")

    assert draft.order(dict) == [1, 0, 2]
    assert draft.before[0] == {1: "holds"}


def test_where_several_say_that_a_node_waits_the_first_reason_stands() -> None:
    draft = drawn("a", "b")
    for why in ("holds", "milestone"):
        draft.wait(0, 1, why)

    assert draft.before[0] == {1: "holds"}


def test_acts_are_laid_one_after_the_other() -> None:
    draft = Draft()
    first = draft.add_act(Node("a", FINISH), (0, 0))
    draft.add_act(Node("a", CHECK), (0, 1), first)

    assert draft.before == [{}, {0: ""}]


def test_what_would_yield_is_asked_for_only_where_something_goes_round() -> None:
    draft = drawn("a", "b")
    draft.wait(0, 1, "holds")

    assert draft.order(lambda: pytest.fail("nothing goes round")) == [1, 0]


def test_between_two_rows_all_of_the_one_comes_before_any_of_the_other() -> None:
    draft = drawn("a", "b", "c", "d")
    draft.hub(Node("held", JOINT), [2, 3], [0, 1], "start-all")

    assert [at for at in draft.order(dict) if at < 4] == [2, 3, 0, 1]


def test_a_default_that_would_close_a_circle_gives_way_to_what_is_stated() -> None:
    draft = drawn("a", "b")
    draft.hub(Node("held", JOINT), [1], [0], "start-all")
    draft.wait(1, 0, "stated:so")

    assert [at for at in draft.order(dict) if at < 2] == [0, 1]
    assert draft.yielded == ()


def test_what_is_soft_gives_way_and_names_its_thing_and_what_is_not_is_a_circle() -> None:
    def both_ways() -> Draft:
        draft = drawn("a", "b")
        draft.wait(0, 1, "milestone")
        draft.wait(1, 0, "stated:so")
        return draft

    draft = both_ways()
    assert draft.order(lambda: {(0, 1): "a"}) == [0, 1]
    assert draft.yielded == ("a",)
    with pytest.raises(CycleError) as caught:
        both_ways().order(dict)
    assert set(caught.value.members) == {"a", "b"}


def test_the_steps_that_are_named_are_told_once_each() -> None:
    draft = drawn("a")
    for node in (Node("T", END), Node("S", BEGIN), Node("S", END)):
        draft.add(node)

    assert draft.named(BEGIN, END) == ["S", "T"]
