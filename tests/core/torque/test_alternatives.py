"""Values for two cases are never two stages of one bolt."""

import pytest

from tests.core.torque.printed import code


@pytest.mark.parametrize(
    "text",
    [
        "Front 30 N·m, rear 40 N·m",
        "vorn 30 Nm, hinten 40 Nm",
        "avant 30 N.m, arrière 40 N.m",
        "delantero 30 N·m, trasero 40 N·m",
        "anteriore 30 Nm, posteriore 40 Nm",
        "voor 30 Nm, achter 40 Nm",
        "dianteiro 30 N·m, traseiro 40 N·m",
        "fram 30 Nm, bak 40 Nm",
        "4-5 Nm (dry), 6-7 Nm (greased)",
        "trocken 30 Nm, geölt 24 Nm",
        "Einlass 20 Nm; Auslass 25 Nm",
        "20 N·m cold, 25 N·m hot",
        "Bolts 10 N·m, nuts 14 N·m",
        "tighten bolts to 20 N·m, then nuts to 30 N·m",
        "tighten bolts A to 20 N·m, then bolts B to 30 N·m",
        "first bolt 20 N·m, second bolt 30 N·m",
        "M8 25 N·m, M10 49 N·m",
        "25 N·m (M8), 49 N·m (M10)",
        "Grade 5: 30 lb·ft, grade 8: 45 lb·ft",
        "Pump 25 Nm\nCover 30 Nm",
        "20 N·m (no. 1 to 8), 25 N·m (no. 9 and 10)",
        "110 N·m (alloy: 130 N·m)",
        "bolts (1) to 20 N·m. Tighten bolts (2) to 30 N·m.",
        "20 N·m, then the others to 30 N·m",
    ],
)
def test_values_under_two_headings_are_alternatives_whether_they_rise_or_fall(text: str) -> None:
    assert code(text) in {"two-fasteners", "two-conditions", "two-values"}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("25 N·m, 3/4 turn after seating", "either-or"),
        ("14 N·m (or 3/4 turn)", "either-or"),
    ],
)
def test_a_turn_that_takes_the_place_of_a_torque_is_an_alternative(text: str, why: str) -> None:
    assert code(text) == why
