from decimal import Decimal

import pytest

from app.core.problem import Problem
from app.core.torque.reached import reached_problem
from app.core.torque.text import (
    Quantity,
    TorqueSpec,
    TorqueUnit,
    parse_torque,
)


def problem(text: str, reached: str, unit: TorqueUnit = TorqueUnit.NEWTON_METRE) -> Problem | None:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec)
    return reached_problem(spec.stages[0], Quantity(Decimal(reached), unit))


@pytest.mark.parametrize(
    ("text", "reached"),
    [
        ("20-25 N·m", "20"),
        ("20-25 N·m", "25"),
        ("50 ±5 N·m", "45"),
        ("50 N·m", "48"),
        ("8 N·m", "7.52"),
        ("min. 50 N·m", "70"),
        ("max. 50 N·m", "30"),
    ],
)
def test_a_value_within_the_print_is_reached(text: str, reached: str) -> None:
    assert problem(text, reached) is None


@pytest.mark.parametrize(
    ("text", "reached", "side"),
    [
        ("20-25 N·m", "19.9", "below"),
        ("20-25 N·m", "25.1", "above"),
        ("50 ±5 N·m", "56", "above"),
        ("50 N·m", "47.9", "below"),
        ("8 N·m", "7.5", "below"),
        ("min. 50 N·m", "49", "below"),
        ("max. 50 N·m", "51", "above"),
    ],
)
def test_a_value_outside_the_print_stays_open(text: str, reached: str, side: str) -> None:
    found = problem(text, reached)
    assert found
    assert found.where == "reached"
    assert f"is {side} what is printed" in found.message


def test_the_unit_of_the_wrench_may_differ_from_the_print() -> None:
    assert problem("36 N·m", "27", TorqueUnit.POUND_FOOT) is None
    assert problem("36 N·m", "27", TorqueUnit.POUND_INCH) is not None


@pytest.mark.parametrize("reached", ["0", "-1", "nan"])
def test_a_value_that_is_not_above_zero_is_refused(reached: str) -> None:
    found = problem("50 N·m", reached)
    assert found
    assert found.code == "reached-not-above-zero"


def test_an_angle_has_no_torque_to_reach() -> None:
    with pytest.raises(ValueError, match="angle"):
        problem("90°", "50")


@pytest.mark.parametrize(
    ("text", "reached", "unit"),
    [
        ("20 N·m (15 lb·ft)", "15", TorqueUnit.POUND_FOOT),
        ("335 N·m (242 lb·ft)", "242", TorqueUnit.POUND_FOOT),
        ("10-15 lb·ft (14-20 N·m)", "20.3", TorqueUnit.NEWTON_METRE),
        ("2.0 kgf·m (20 N·m, 14 lb·ft)", "14", TorqueUnit.POUND_FOOT),
        ("120 lb·in (15 N·m)", "15", TorqueUnit.NEWTON_METRE),
    ],
)
def test_every_printed_column_counts(text: str, reached: str, unit: TorqueUnit) -> None:
    assert problem(text, reached, unit) is None


@pytest.mark.parametrize(
    ("text", "reached"),
    [("min. 25 N·m", "250"), ("min. 25 N·m", "38"), ("max. 25 N·m", "1"), ("max. 25 N·m", "12")],
)
def test_far_beyond_a_limit_it_is_asked_whether_that_is_meant(text: str, reached: str) -> None:
    found = problem(text, reached)
    assert found
    assert found.code == "reached-far"
    assert "is that meant?" in found.message


@pytest.mark.parametrize(
    ("text", "reached"), [("min. 25 N·m", "37"), ("max. 25 N·m", "13"), ("max. 25 N·m", "25")]
)
def test_near_a_limit_it_is_reached(text: str, reached: str) -> None:
    assert problem(text, reached) is None
