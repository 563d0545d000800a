"""Money: read as typed, added up by currency, written again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.money import CURRENCIES, MOST_MINOR, Money, money_text, plain_amount, read_money, total
from app.core.problem import Problem


@pytest.mark.parametrize(
    ("typed", "minor"), [("12.50", 1250), ("12,5", 1250), ("0", 0), (" 7 ", 700), ("0.05", 5)]
)
def test_a_plain_number_is_a_price(typed: str, minor: int) -> None:
    assert read_money(typed, "EUR") == Money(minor, "EUR")


@pytest.mark.parametrize(
    "typed", ["", "free", "-5", "1,234.50", "1.234", "12.", "1e3", "٥", "9999999999", "5 EUR"]
)
def test_what_is_no_plain_number_is_refused_at_its_field(typed: str) -> None:
    refused = read_money(typed, "EUR")
    assert isinstance(refused, Problem)
    assert refused.where == "price"


def test_a_currency_without_decimals_takes_none() -> None:
    assert read_money("1200", "JPY") == Money(1200, "JPY")
    assert isinstance(read_money("12.5", "JPY"), Problem)
    assert money_text(Money(1200, "JPY")) == "1200 JPY"


def test_more_than_a_line_can_hold_is_refused() -> None:
    assert isinstance(read_money("9999999.99", "EUR"), Money)
    assert isinstance(read_money("99999999", "EUR"), Problem)


@given(st.integers(0, MOST_MINOR), st.sampled_from(CURRENCIES))
def test_what_is_shown_is_read_back_the_same(minor: int, currency: str) -> None:
    money = Money(minor, currency)
    assert read_money(plain_amount(money), currency) == money or currency == "JPY"


@given(st.lists(st.builds(Money, st.integers(0, 10_000), st.sampled_from(("EUR", "GBP", "JPY")))))
def test_totals_equal_the_sum_of_their_lines_and_nothing_is_converted(lines: list[Money]) -> None:
    sums = {money.currency: money.minor for money in total(lines)}
    for currency in ("EUR", "GBP", "JPY"):
        assert sums.get(currency, 0) == sum(m.minor for m in lines if m.currency == currency)
