"""Waits: what is wrong with one, what comes first, what an item waits for."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.money import Money
from app.core.procurement.outstanding import (
    Outstanding,
    Unavailable,
    outstanding_problems,
    overdue_first,
    prices,
    unavailable_because,
)
from app.core.wording.order import unavailable_text

TODAY = date(2031, 5, 4)
HEADS = Item("h", 4, Kind.PART, "Heads")
AWAY = Outstanding(
    "1", "item:h", "away", "machine", "skim 0.1", "the machine shop", date(2031, 5, 1), date(2031, 5, 12)
)
WISH = Outstanding("2", "item:h", "get", "other", "new studs")


def wheres(wait: Outstanding, before: Outstanding | None = None) -> list[str]:
    return [problem.where for problem in outstanding_problems(wait, TODAY, before=before)]


@pytest.mark.parametrize(
    ("over", "where"),
    [
        ({"count": 0}, "count"),
        ({"count": -3}, "count"),
        ({"due": date(2031, 5, 3)}, "due"),
        ({"since": date(2031, 5, 5)}, "since"),
        ({"category": "get", "need": "other", "what": ""}, "what"),
    ],
)
def test_what_is_wrong_names_its_field(over: dict[str, object], where: str) -> None:
    assert where in wheres(replace(AWAY, **over))  # type: ignore[arg-type] # fields of the table above


def test_a_day_that_was_right_when_written_may_pass() -> None:
    old = replace(AWAY, due=date(2031, 5, 2))
    assert wheres(replace(old, at_whom="another shop"), before=old) == []
    assert wheres(replace(old, due=date(2031, 5, 3)), before=old) == ["due"]


def test_nothing_is_due_before_it_went() -> None:
    assert wheres(replace(AWAY, since=TODAY, due=date(2031, 5, 3)), before=AWAY) == ["due", "due"]


def test_the_overdue_stand_first_and_those_without_a_day_last() -> None:
    late, later = replace(AWAY, id="l", due=date(2031, 5, 3)), replace(AWAY, id="m", due=date(2031, 6, 1))
    nameless = replace(AWAY, id="n", due=None)
    assert [w.id for w in overdue_first([nameless, later, late], TODAY)] == ["l", "m", "n"]
    assert not replace(late, done_on=TODAY).is_overdue(TODAY)


def waiting(*waits: Outstanding, undecided: bool = False, wanted: tuple[str, ...] = ()) -> Unavailable | None:
    return unavailable_because(undecided=undecided, known=waits, wanted=wanted)


def test_an_item_waits_for_the_longest_of_its_waits() -> None:
    assert waiting() is None
    assert waiting(AWAY, WISH, undecided=True) == ("away", "the machine shop", date(2031, 5, 12), "skim 0.1")
    assert waiting(WISH, undecided=True) == Unavailable("undecided")
    assert waiting(WISH) == Unavailable("to get", what="new studs")
    assert waiting(replace(WISH, since=TODAY, at_whom="a shop"), wanted=("a gasket",)) == Unavailable(
        "to get", what="a gasket"
    )
    assert waiting(replace(WISH, since=TODAY, at_whom="a shop")) == Unavailable(
        "ordered", "a shop", None, "new studs"
    )


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (waiting(AWAY), "Heads at the machine shop, due 12 May"),
        (waiting(replace(AWAY, at_whom="", due=None)), "Heads, in treatment"),
        (waiting(replace(AWAY, category="soak", what="studs soak", at_whom="")), "studs soak, due 12 May"),
        (waiting(undecided=True), "a decision: what becomes of it?"),
        (waiting(replace(WISH, since=TODAY, at_whom="a shop")), "new studs, ordered at a shop"),
        (waiting(wanted=("a gasket",)), "a gasket, to be got"),
    ],
)
def test_what_it_waits_for_is_said_in_a_few_text(found: Unavailable, said: str) -> None:
    assert unavailable_text(HEADS, found, TODAY) == said


@given(st.lists(st.none() | st.integers(0, 5000), max_size=12))
def test_the_sum_of_the_prices_is_the_sum_of_the_lines(amounts: list[int | None]) -> None:
    waits = [replace(AWAY, price=None if a is None else Money(a, "EUR")) for a in amounts]
    assert sum(money.minor for money in prices(waits)) == sum(a or 0 for a in amounts)


@pytest.mark.parametrize(
    ("over", "where"),
    [
        ({"category": "get", "need": "other", "what": "studs"}, []),
        ({"category": "get", "need": "seal", "what": ""}, []),
        ({"category": "away", "need": "clean", "what": ""}, []),
        ({"category": "away", "need": "other", "what": "to be done"}, ["need"]),
    ],
)
def test_only_what_is_to_be_got_without_a_need_worked_out_must_be_said(
    over: dict[str, object], where: list[str]
) -> None:
    assert wheres(replace(AWAY, **over)) == where  # type: ignore[arg-type] # fields of the table above
