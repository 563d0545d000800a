import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.plan.step_order import moved_after


@pytest.mark.parametrize(
    ("chosen", "after", "order"),
    [
        ({"c"}, "a", "acbde"),
        ({"d", "b"}, "e", "acebd"),
        ({"e", "c"}, "", "ceabd"),
        ({"x"}, "a", "abcde"),
        ({"a", "b"}, "c", "cabde"),
    ],
)
def test_what_is_chosen_comes_behind_the_other_as_it_stood(chosen: set[str], after: str, order: str) -> None:
    assert "".join(moved_after("abcde", chosen, after)) == order


@pytest.mark.parametrize("after", ["x", "b"])
def test_nothing_comes_behind_what_is_not_there_or_moves_itself(after: str) -> None:
    with pytest.raises(ValueError, match="stay"):
        moved_after("abc", {"b"}, after)


@given(st.lists(st.integers(), unique=True, max_size=8).map(lambda ns: [str(n) for n in ns]), st.data())
def test_moving_loses_and_doubles_nothing(order: list[str], data: st.DataObject) -> None:
    chosen = data.draw(st.sets(st.sampled_from(order))) if order else set()
    after = data.draw(st.sampled_from(["", *(each for each in order if each not in chosen)]))
    assert sorted(moved_after(order, chosen, after)) == sorted(order)
