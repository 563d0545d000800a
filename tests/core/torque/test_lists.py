"""Numbers of a printed torque without a unit of their own."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.torque.text import parse_torque
from tests.core.torque.printed import code, said


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("40 N·m 90", "unit-missing"),
        ("8 - N·m", "unit-missing"),
        ("bolts 20 and 30 N·m", "unit-missing"),
        ("20 N·m 2", "unit-missing"),
    ],
)
def test_a_number_that_no_list_gives_a_unit_is_asked_about(text: str, why: str) -> None:
    assert code(text) == why


@given(st.integers(5, 400), st.sampled_from(["N·m", "lb·ft", "lb·in", "kgf·m"]), st.integers(0, 99_999_999))
def test_a_number_beside_a_value_is_never_dropped(value: int, unit: str, number: int) -> None:
    spec = parse_torque(f"{value} {unit} {number}")
    assert isinstance(spec, Problem)


@pytest.mark.parametrize(
    ("text", "stages"),
    [
        ("20, 35, 45 N·m", "20 N·m; 35 N·m; 45 N·m"),
        ("20 then 40 N·m", "20 N·m; 40 N·m"),
        ("20, 40 and then 60 N·m", "20 N·m; 40 N·m; 60 N·m"),
        ("between 20 and 25 N·m", "20–25 N·m"),
        ("Head bolts 20, 40, 60 N·m", "20 N·m; 40 N·m; 60 N·m"),
    ],
)
def test_a_list_and_a_range_have_the_unit_at_their_end(text: str, stages: str) -> None:
    assert said(text) == stages


@pytest.mark.parametrize("text", ["40, 20 N·m", "4, 25 N·m", "20 45 N·m", "20 then 40", "20, 40 and 60 N·m"])
def test_numbers_that_fall_or_leap_or_end_without_a_unit_are_no_list(text: str) -> None:
    assert code(text) == "unit-missing"


def test_a_bolts_number_is_no_end_of_a_range() -> None:
    assert code("Tighten nut 8 to 20 N·m") == "range-too-wide"
    assert said("Tighten nut to 18 to 20 N·m") == "18–20 N·m"
