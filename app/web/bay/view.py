"""Words on the bay's drawing: broken into lines that fit their zone, and the plate behind a count."""

from collections.abc import Mapping
from textwrap import wrap
from typing import Any, NamedTuple

LETTER = 7.1
"""How wide a letter is reckoned, in units of the drawing."""
LINE = 15.0
LEAST_LETTERS = 4
DIGIT, PLATE, LEAST_PLATE = 9.5, 12.0, 26.0


class Plate(NamedTuple):
    """How wide the plate behind a count is, in units of the drawing."""

    whole: float
    half: float


def label_lines(text: str, zone: Mapping[str, Any]) -> list[tuple[str, float]]:
    """Return a label's lines, each with its base line: together they stand about the zone's middle.

    Args:
        text: The zone's name.
        zone: The layout's zone: `label_at` and `label_width`, in units of the drawing.
    """
    letters = max(int(zone["label_width"] / LETTER), LEAST_LETTERS)
    lines = wrap(text, letters, break_long_words=False, break_on_hyphens=False) or [""]
    top = zone["label_at"][1] - (len(lines) - 1) * LINE / 2 + 4.5
    return [(line, round(top + at * LINE, 1)) for at, line in enumerate(lines)]


def count_width(count: int) -> Plate:
    """Return how wide the plate behind a count is."""
    whole = max(LEAST_PLATE, PLATE + DIGIT * len(str(count)))
    return Plate(whole, whole / 2)
