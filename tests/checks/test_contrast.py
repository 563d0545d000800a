"""Contrast of the colours in `static/css/site/base.css`, by the formula of WCAG 2.2.

Source: https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio and #dfn-relative-luminance. The limits are ours:
7:1 for text (success criterion 1.4.6), 3:1 for edges (1.4.11).
"""

import re
from pathlib import Path

import pytest

CSS = (Path(__file__).parents[2] / "static" / "css" / "site" / "base.css").read_text(encoding="utf-8")
LIGHT, DARK = (
    dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", block))
    for block in re.findall(r":root \{(.*?)\}", CSS, re.DOTALL)[:2]
)


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_21_for_black_on_white() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["day", "night"])
@pytest.mark.parametrize("ground", ["paper", "card"])
def test_text_stands_out_seven_to_one_and_edges_three_to_one(scheme: dict[str, str], ground: str) -> None:
    for text in ("ink", "soft", "rust"):
        assert contrast(scheme[text], scheme[ground]) >= 7, text
    assert contrast(scheme["edge"], scheme[ground]) >= 3


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["day", "night"])
def test_the_cautions_mark_stands_out_in_its_triangle(scheme: dict[str, str]) -> None:
    assert contrast(LIGHT["ink"], scheme["ochre"]) >= 7
