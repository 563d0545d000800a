"""Days as typed and as said."""

from datetime import date

import pytest

from app.core.days import day_text, future_problem, past_problem, read_day
from app.core.problem import Problem

TODAY = date(2031, 5, 4)


def test_a_day_is_typed_as_year_month_day() -> None:
    assert read_day(" 2031-03-12 ", "due") == date(2031, 3, 12)


@pytest.mark.parametrize(
    "typed", ["", "12.3.2031", "2031-02-30", "20310312", "2031-W10-3", "tomorrow", "x" * 10]
)
def test_anything_else_names_its_field(typed: str) -> None:
    refused = read_day(typed, "due")
    assert isinstance(refused, Problem)
    assert refused.where == "due"


def test_what_is_to_come_may_be_today_and_not_yesterday() -> None:
    assert past_problem(TODAY, TODAY, "due") is None
    refused = past_problem(date(2031, 5, 3), TODAY, "due")
    assert refused
    assert refused.message.startswith("3 May is over")


def test_what_happened_may_be_today_and_not_tomorrow() -> None:
    assert future_problem(TODAY, TODAY, "since") is None
    assert future_problem(date(2031, 5, 5), TODAY, "since")


def test_the_year_is_said_where_it_is_another() -> None:
    assert day_text(date(2031, 3, 12), TODAY) == "12 March"
    assert day_text(date(2032, 3, 12), TODAY) == "12 March 2032"
