from decimal import Decimal

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.torque.units import (
    NEWTON_METRES,
    Quantity,
    TorqueUnit,
    converted,
    torque_nm,
    unit_named,
)
from tests.core.check_files import Case, assert_close, cases_of
from tests.core.torque.printed import said

PINT_NAMES = {
    TorqueUnit.NEWTON_METRE: "newton * meter",
    TorqueUnit.POUND_FOOT: "force_pound * foot",
    TorqueUnit.POUND_INCH: "force_pound * inch",
    TorqueUnit.KILOGRAM_METRE: "force_kilogram * meter",
    TorqueUnit.KILOGRAM_CENTIMETRE: "force_kilogram * centimeter",
    TorqueUnit.NEWTON_CENTIMETRE: "newton * centimeter",
    TorqueUnit.CENTINEWTON_METRE: "centinewton * meter",
    TorqueUnit.DECANEWTON_METRE: "decanewton * meter",
    TorqueUnit.OUNCE_INCH: "force_ounce * inch",
}


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "torque_units")


def unit_of(text: str) -> TorqueUnit:
    unit = unit_named(text)
    assert unit is not None, f"unknown unit {text}"
    return unit


def test_a_published_pair_is_met(case: Case) -> None:
    assert set(case["inputs"]) == {"value", "unit"}, case["inputs"]
    printed = Quantity(Decimal(str(case["inputs"]["value"])), unit_of(case["inputs"]["unit"]))
    assert_close(case, float(converted(printed, unit_of(case["unit"])).value))


@pytest.mark.parametrize("unit", TorqueUnit)
def test_a_units_library_gives_the_same_factor(unit: TorqueUnit) -> None:
    theirs = pint.UnitRegistry().Quantity(1.0, PINT_NAMES[unit]).to("newton * meter").magnitude
    assert torque_nm(Quantity(Decimal(1), unit)) == pytest.approx(theirs, rel=1e-14)


@pytest.mark.parametrize("unit", TorqueUnit)
def test_a_unit_is_known_by_the_name_it_is_shown_with(unit: TorqueUnit) -> None:
    assert unit_named(unit.value) is unit


def test_the_factors_are_exact_by_definition() -> None:
    assert NEWTON_METRES[TorqueUnit.POUND_FOOT] == Decimal("1.3558179483314004")
    assert NEWTON_METRES[TorqueUnit.POUND_INCH] * 12 == NEWTON_METRES[TorqueUnit.POUND_FOOT]
    assert NEWTON_METRES[TorqueUnit.KILOGRAM_CENTIMETRE] * 100 == NEWTON_METRES[TorqueUnit.KILOGRAM_METRE]


@given(st.decimals("0.01", "9999", places=2), st.sampled_from(TorqueUnit), st.sampled_from(TorqueUnit))
@settings(max_examples=100)
def test_there_and_back_again_is_the_same(value: Decimal, unit: TorqueUnit, other: TorqueUnit) -> None:
    back = converted(converted(Quantity(value, unit), other), unit)
    assert abs(back.value - value) < Decimal("1e-20")


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("27 lb in", "lb·in"),
        ("27 in/lb", "lb·in"),
        ("27 in.-lbf", "lb·in"),
        ("27 in.*lbf", "lb·in"),
        ("27 inch lbs.", "lb·in"),
        ("27 pound-inches", "lb·in"),
        ("27 ft. lbs.", "lb·ft"),
        ("27 lb/ft", "lb·ft"),
        ("27 lbf-ft", "lb·ft"),
        ("27 lb.f.ft", "lb·ft"),
        ("27 foot pounds force", "lb·ft"),
        ("27 pound-force-feet", "lb·ft"),
        ("27 kgf-cm", "kgf·cm"),
        ("27 kg-m", "kgf·m"),
        ("27 m-kg", "kgf·m"),
        ("27 mkg", "kgf·m"),
        ("27 Nm", "N·m"),
        ("27 N*m", "N·m"),
        ("27 N x m", "N·m"),
        ("27 newton-metres", "N·m"),
        ("27 N/m", "N·m"),
        ("27 Ncm", "N·cm"),
        ("27 daN.m", "daN·m"),
        ("27 oz-in", "ozf·in"),
    ],
)
def test_every_spelling_of_a_unit_is_known(text: str, unit: str) -> None:
    assert said(text) == f"27 {unit}"
