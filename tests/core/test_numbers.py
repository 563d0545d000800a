from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.numbers import fraction_value, mixed_fraction, printed_number, spell_fractions


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("36", "36"),
        ("45,3", "45.3"),
        ("45.3", "45.3"),
        ("1,200", "1200"),
        ("1,200.5", "1200.5"),
        ("0,500", "0.5"),
        ("12,00", "12"),
        ("7 1/2", "7.5"),
        ("7-1/2", "7.5"),
        (".75", "0.75"),
    ],
)
def test_a_number_is_read_as_the_print_means_it(text: str, value: str) -> None:
    assert printed_number(text) == Decimal(value)


@pytest.mark.parametrize("text", ["", "x", "1/2/3", "7 1/0", "--1"])
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - the message is the text itself
        printed_number(text)


@pytest.mark.parametrize(
    ("text", "spelled"),
    [("7½ N·m", "7 1/2 N·m"), ("7 ½", "7 1/2"), ("½", "1/2"), ("3⅜-16", "3 3/8-16"), ("1/2", "1/2")],
)
def test_the_characters_for_fractions_are_spelled(text: str, spelled: str) -> None:
    assert spell_fractions(text) == spelled


@pytest.mark.parametrize(
    ("size", "text"),
    [
        (0, "0"),
        (2, "2"),
        (0.5, "1/2"),
        (1.125, "1-1/8"),
        (0.3, "0.3"),
        (0.015625, "1/64"),
        (2.6875, "2-11/16"),
    ],
)
def test_an_inch_size_is_written_as_the_trade_does(size: float, text: str) -> None:
    assert mixed_fraction(size) == text


@given(st.integers(0, 40), st.integers(1, 63))
def test_a_size_in_sixty_fourths_is_read_back_from_its_text(whole: int, part: int) -> None:
    text = mixed_fraction(whole + part / 64)
    *before, fraction = text.split("-")
    above, below = map(int, fraction.split("/"))

    assert Decimal(sum(map(int, before))) + fraction_value(above, below) == whole + Decimal(part) / 64
