"""What a printed torque cannot be."""

import pytest

from app.core.torque.refusals import LARGEST_NM
from tests.core.torque.printed import refused, said


@pytest.mark.parametrize(
    "text", ["25", "25 ft", "25 lb", "25 kg", "20 kg/cm2", "Tighten bolt to 25. Then 90°"]
)
def test_a_number_without_a_unit_is_refused_and_the_units_are_offered(text: str) -> None:
    problem = refused(text)
    assert problem.code == "unit-missing"
    assert "stopped at" in problem.message
    for unit in ("N·m", "lb·ft", "lb·in", "kgf·m", "kgf·cm"):
        assert unit in problem.message


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "torque-missing"),
        ("banana", "value-missing"),
        ("see page 12", "value-missing"),
        ("0 N·m", "torque-not-above-zero"),
        ("-5 N·m", "torque-negative"),
        ("nan N·m", "number-missing"),
        ("1e9 N·m", "torque-too-large"),
        ("12-8 N·m", "range-upside-down"),
        ("5 ±6 N·m", "torque-not-above-zero"),
        ("Bolt 1 - 25 Nm", "range-too-wide"),
        ("1/2 lb·ft", "fraction-or-range"),
        ("1/0 turn", "angle-unreadable"),
        ("9999°", "angle-out-of-range"),
        ("90° (1/2 turn)", "angles-disagree"),
        ("9.5 Newton metre (lb-ft)", "number-missing"),
        ("23 lb ft dry, 18 lb ft oiled", "two-conditions"),
        ("25 N·m " * 100, "torque-too-long"),
        ("M8: 25 Nm, M10: 49 Nm", "two-fasteners"),
        ("6 mm: 10 N·m; 8 mm: 25 N·m", "two-fasteners"),
        ("in 10 N·m steps up to 65 N·m", "not-a-value"),
        ("65 N·m⁺⁵", "raised"),
        ("rotate the crankshaft 360° and tighten to 30 N·m", "turns-another"),
        ("30 N·m. Turn engine two revolutions, then 30 N·m again", "turns-another"),
        ("30 N·m, Kurbelwelle 2 Umdrehungen drehen, 30 N·m", "turns-another"),
        ("65⁺⁵₋₀ N·m", "raised"),
        ("Tighten 1/3 turn past finger tight", "turn-before-snug"),
        ("Bolt 1: 25 Nm, bolt 2: 35 Nm", "two-fasteners"),
        ("bolts A to 20 Nm and bolts B to 35 Nm", "two-fasteners"),
        ("upper bolt 25 Nm, lower bolt 35 Nm", "two-fasteners"),
        ("Head bolts (long) 95 ft-lb, (short) 75 ft-lb", "two-fasteners"),
        ("30 ft-lb (steel) or 20 ft-lb (aluminum)", "either-or"),
        ("50 Nm + 30 Nm", "plus-unclear"),
        ("Tighten nut 8 to 20 Nm", "range-too-wide"),
        ("Clutch bolt M6 6 10 Nm", "unit-missing"),
        ("500 mN·m", "unit-missing"),
        ("cover, 4, 25 Nm", "unit-missing"),
        ("1e99999999999999999999 then 50 Nm", "unit-missing"),
    ],
)
def test_what_cannot_be_read_or_cannot_be_right_is_refused(text: str, code: str) -> None:
    assert refused(text).code == code


def test_text_that_stops_making_sense_says_where() -> None:
    assert "“17 gizmos”" in refused("20 N·m and then 17 gizmos").message


def test_the_largest_torque_is_read_and_the_next_one_is_a_slip() -> None:
    assert said(f"{LARGEST_NM} N·m (14751 lb·ft)") == "20000 N·m (14751 lb·ft)"
    assert refused(f"{LARGEST_NM + 1} N·m (14752 lb·ft)").code == "torque-too-large"


@pytest.mark.parametrize(("text", "is_read"), [("10-50 N·m", True), ("10-51 N·m", False)])
def test_a_range_of_more_than_five_times_is_asked_about(text: str, is_read: bool) -> None:
    if is_read:
        assert said(text) == "10–50 N·m"
    else:
        assert "step 1:" in refused(text).message


def test_a_refusal_says_what_was_typed_and_what_to_do() -> None:
    assert "“12-8 N·m” ends below its start. Write the lower first." in refused("12-8 N·m").message
    assert "“then”" in refused("35 N·m, 20 N·m").message
