"""Drained against filled: what adds up, and when somebody must answer."""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.amounts import Amounts
from app.core.items.bodies.rules import is_amount
from app.core.items.items import Fluid, Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, fold
from app.core.ledger.ledger import Reason, why_open
from app.core.wording.items import reason_text
from tests.core.items.lines import mark, say, undo

OIL = Item("oil", 1, Kind.FLUID, "Engine oil", detail=Fluid("engine oil", bleeds=False))
DRAINED = mark("a", Act.DRAINED, litres=4.6)


def state(*lines: Line) -> ItemState:
    return fold(Kind.FLUID, 1, lines, work=Act.FILLED)


def codes(*lines: Line) -> list[str]:
    return [reason.code for reason in why_open(OIL, state(*lines))]


def test_filled_more_than_a_fifth_below_what_was_drained_asks_and_stays_open() -> None:
    assert codes(DRAINED, mark("b", Act.FILLED, after="a", litres=3.0)) == ["fill-short"]
    assert "is that right" in reason_text(OIL, Reason("fill-short"))


@pytest.mark.parametrize("filled", [3.68, 3.7, 4.6, 9.0])
def test_up_to_a_fifth_below_closes_the_line(filled: float) -> None:
    assert codes(DRAINED, mark("b", Act.FILLED, after="a", litres=filled)) == []


def test_what_nobody_measured_is_not_asked_about() -> None:
    assert codes(mark("a", Act.DRAINED), mark("b", Act.FILLED, after="a", litres=1.0)) == []
    assert codes(DRAINED, mark("b", Act.FILLED, after="a")) == []


def test_a_top_up_adds_and_closes_the_line() -> None:
    filled = mark("b", Act.FILLED, after="a", litres=3.0)
    more = say("c", "count", {"litres": 1.5, "of": "filled"}, after="b")
    assert state(DRAINED, filled, more).amounts == Amounts(4.6, 4.5)
    assert codes(DRAINED, filled, more) == []


def test_a_second_pan_adds_to_what_was_drained() -> None:
    pan = say("b", "count", {"litres": 0.5, "of": "drained"}, after="a")
    assert state(DRAINED, pan).amounts == Amounts(5.1)


def test_an_answer_by_name_closes_the_line_until_another_amount_comes() -> None:
    filled = mark("b", Act.FILLED, after="a", litres=3.0)
    right = say("c", "acknowledge", {"amounts": "right", "reason": "the cooler stays full"}, after="b")
    assert codes(DRAINED, filled, right) == []
    assert codes(DRAINED, filled, right, undo("d", "c", after="c")) == ["fill-short"]
    found_later = say("e", "count", {"litres": 2.0, "of": "drained"}, after="c")
    assert codes(DRAINED, filled, right, found_later) == ["fill-short"]


def test_an_answer_without_a_name_or_blind_is_none() -> None:
    filled = mark("b", Act.FILLED, after="a", litres=3.0)
    nobody = say("c", "acknowledge", {"amounts": "right"}, after="b", person="")
    blind = say("d", "acknowledge", {"amounts": "right"}, after="a")
    assert codes(DRAINED, filled, nobody) == ["fill-short"]
    assert codes(DRAINED, filled, blind) == ["fill-short"]


def test_draining_again_begins_anew() -> None:
    lines = [
        DRAINED,
        mark("b", Act.FILLED, after="a", litres=3.0),
        mark("c", Act.DRAINED, after="b", litres=2.0),
    ]
    assert state(*lines).amounts == Amounts(2.0)
    assert codes(*lines, mark("d", Act.FILLED, after="c", litres=2.0)) == []


def test_two_phones_that_wrote_the_same_filling_do_not_add_up() -> None:
    one = mark("b", Act.FILLED, after="a", litres=3.0)
    other = mark("c", Act.FILLED, after="a", litres=4.6)
    assert state(DRAINED, one, other).amounts == Amounts(4.6, 3.0)


@pytest.mark.parametrize("value", [0, -1, 200.5, True, "4.6", None, float("nan"), float("inf")])
def test_an_amount_is_a_number_above_nothing_and_up_to_200(value: object) -> None:
    assert not is_amount(value)


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.sampled_from(("drained", "filled")), st.integers(1, 90)), max_size=8), st.randoms()
)
def test_amounts_that_follow_each_other_add_up_in_any_order_of_arrival(
    said: list[tuple[str, int]], chance: Random
) -> None:
    lines = [DRAINED]
    for nth, (side, tenths) in enumerate(said):
        body = {"litres": tenths / 10, "of": side}
        lines.append(say(f"x{nth}", "count", body, after=[lines[-1].id]))
    shuffled = list(lines)
    chance.shuffle(shuffled)
    amounts = state(*shuffled).amounts
    assert amounts == state(*lines).amounts
    assert amounts.drained == pytest.approx(4.6 + sum(t for side, t in said if side == "drained") / 10)
    assert (amounts.filled or 0.0) == pytest.approx(sum(t for side, t in said if side == "filled") / 10)
