"""Numbers, ranges and numbers with a tolerance."""

from decimal import Decimal

import pytest

from app.core.torque.bands import read_band
from tests.core.torque.printed import said


@pytest.mark.parametrize(
    ("text", "band"),
    [
        ("8-12 Nm", "8–12 N·m"),
        ("8…12 Nm", "8–12 N·m"),
        ("25 Nm to 30 Nm", "25–30 N·m"),
        ("between 20 and 25 Nm", "20–25 N·m"),
        ("50 (+/- 5) ft-lb", "50 ±5 lb·ft"),
        ("50 ft-lb +/- 5", "50 ±5 lb·ft"),
        ("50 N·m ±10 %", "50 ±5.0 N·m"),
        ("25 +5/-0 Nm", "25 +5/-0 N·m"),
        ("25 Nm (22-28 Nm)", "25 ±3 N·m"),
        ("3,7 mkg", "3.7 kgf·m"),
        ("1,200 lb-ft (1627 N·m)", "1200 lb·ft (1627 N·m)"),
        ("7½ ft-lb", "7.5 lb·ft"),
        ("8 Nm +2 Nm [6 lbf ft +1.5 lbf ft]", "8 +2/-0 N·m (6 +1.5/-0 lb·ft)"),
        ("18 lb·ft ± 50 percent", "18 ±9.00 lb·ft"),
        ("10to12N·m", "10–12 N·m"),
        ("1\u202f200 N·m", "1200 N·m"),
        ("20 [Nm]", "20 N·m"),
    ],
)
def test_ranges_and_tolerances_are_read(text: str, band: str) -> None:
    assert said(text) == band


@pytest.mark.parametrize(
    ("text", "low", "high", "target"),
    [
        ("8-12", "8", "12", "10"),
        ("100/110", "100", "110", "105"),
        ("150 ±20", "130", "170", "150"),
        ("50 ±10 %", "45", "55", "50"),
        ("25 +5/-0", "25", "30", "25"),
        ("8-12 ±1", "7", "13", "10"),
    ],
)
def test_the_ends_and_the_number_to_aim_at_are_those_of_the_print(
    text: str, low: str, high: str, target: str
) -> None:
    band = read_band(text)
    assert (band.low, band.high, band.target) == (Decimal(low), Decimal(high), Decimal(target))


def test_a_tolerance_is_told_only_where_both_sides_have_the_same() -> None:
    assert read_band("150 ±20").tolerance == 20
    assert read_band("25 +5/-0").tolerance is None
    assert read_band("8-12").tolerance is None


def test_what_starts_with_no_number_is_no_band() -> None:
    with pytest.raises(ValueError, match="about"):
        read_band("about 20")
