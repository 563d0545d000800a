"""Numbers of a printed torque without a unit of their own."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.torque.text import parse_torque
from tests.core.torque.printed import code


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
