"""A printed number, range or number with tolerance: `36`, `8-12`, `100/110`, `150 ±20`, `25 +5/-0`."""

import re
from dataclasses import dataclass
from decimal import Decimal

from app.core.numbers import NUMBER, printed_number

_PLUS_MINUS = r"(?:±|\+\s?/\s?[-−–]|\+[-−–])"
_MINUS = r"[-−–]"
RANGE_SIGN = r"(?:(?<![^\W\d_])(?:to|thru|through|bis|tot|till|a|à)(?![^\W\d_])|[-‐‑‒–—−~～∼÷]|\.{2,3}|…)"
# `+60-90°` behind a torque is a turn of 60° to 90°; `+5/-0`, with its stroke, is a tolerance anywhere.
_NOTHING = r"0(?![\d.,])"
_DOWN = rf"{_MINUS}\s?{NUMBER}"
_UP_DOWN = rf"\+\s?{NUMBER}\s*(?:[/,]\s*(?:{_DOWN}|{_NOTHING})|{_DOWN}(?![0-9.,]|\s*(?:°|deg)))"
_PERCENT = r"(?:%|percent\b|pct\b)"
_BARE_TOLERANCE = rf"(?:{_PLUS_MINUS}\s*{NUMBER}\s*{_PERCENT}?|{_UP_DOWN})"
TOLERANCE = rf"(?:{_BARE_TOLERANCE}|\(\s*{_BARE_TOLERANCE}\s*\))"
BAND = rf"{NUMBER}(?:\s*(?:{RANGE_SIGN}|/)\s*{NUMBER})?(?:\s*{TOLERANCE})?"
"""A regular expression, to be used without regard to case, for the numbers in front of a unit."""

_PARTS = re.compile(
    rf"\s*(?P<low>{NUMBER})(?:\s*(?:{RANGE_SIGN}|/)\s*(?P<high>{NUMBER}))?"
    rf"(?:\s*\(?\s*(?:{_PLUS_MINUS}\s*(?P<tolerance>{NUMBER})\s*(?P<percent>{_PERCENT})?"
    rf"|\+\s?(?P<up>{NUMBER})\s*[/,]?\s*(?:{_MINUS}\s?)?(?P<down>{NUMBER})))?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Band:
    """A number, a range or a number with its tolerance, as printed.

    Args:
        low: The lower end; the number itself where only one is printed.
        high: The upper end, not below `low`.
        nominal: The number in front of a tolerance; `None` where none is printed.
    """

    low: Decimal
    high: Decimal
    nominal: Decimal | None = None

    @property
    def target(self) -> Decimal:
        """The number to aim at: the nominal one, else the middle of the range."""
        return (self.low + self.high) / 2 if self.nominal is None else self.nominal

    @property
    def tolerance(self) -> Decimal | None:
        """What stands behind ±; `None` without one or where the two sides differ."""
        if self.nominal is None or self.nominal - self.low != self.high - self.nominal:
            return None
        return self.high - self.nominal


def read_band(text: str) -> Band:
    """Return the band of a text that matches `BAND`.

    A tolerance behind a range widens it at both ends. A tolerance in percent is of the number before it.

    Raises:
        ValueError: The text does not start with such numbers.
    """
    parts = _PARTS.match(text)
    if parts is None:
        raise ValueError(text)
    low = printed_number(parts["low"])
    high = printed_number(parts["high"]) if parts["high"] else low
    down, up = _tolerances(parts, low)
    if not (parts["tolerance"] or parts["up"]):
        return Band(low, high)
    return Band(low - down, high + up, None if parts["high"] else low)


def _tolerances(parts: re.Match[str], nominal: Decimal) -> tuple[Decimal, Decimal]:
    if parts["up"]:
        return printed_number(parts["down"]), printed_number(parts["up"])
    tolerance = printed_number(parts["tolerance"]) if parts["tolerance"] else Decimal(0)
    if parts["percent"]:
        tolerance *= nominal / 100
    return tolerance, tolerance
