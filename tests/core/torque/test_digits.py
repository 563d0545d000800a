"""Figures that can be two, and what decides them."""

import pytest

from tests.core.torque.printed import code, said


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("1.250 N·m", "thousands"),
        ("1,250 lb·in", "thousands"),
        ("1.150 N·cm", "thousands"),
        ("2025 N·m (15-18 lb·ft)", "hyphen-lost"),
        ("2030 N·m", "hyphen-lost"),
        ("912 lb·ft", "hyphen-lost"),
    ],
)
def test_a_figure_that_can_be_two_is_asked_about(text: str, why: str) -> None:
    assert code(text) == why


@pytest.mark.parametrize(
    ("text", "reading"),
    [
        ("1,250 lb·in (141 N·m)", "1250 lb·in (141 N·m)"),
        ("1.250 kgf·m (12.3 N·m)", "1.25 kgf·m (12.3 N·m)"),
        ("1.86-2.046 N·m", "1.86–2.0460 N·m"),
        ("２５ Ｎ·ｍ", "25 N·m"),
        ("1356 N·m (1000 lb·ft)", "1356 N·m (1000 lb·ft)"),
        ("1130 N·cm", "1130 N·cm"),
    ],
)
def test_a_second_column_or_the_other_end_decides_a_figure(text: str, reading: str) -> None:
    assert said(text) == reading
