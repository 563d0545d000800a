"""Torque units: the spellings met in print, and conversions that are exact by definition.

Source of the factors: the pound is 0.45359237 kg, the inch 0.0254 m, standard gravity 9.80665 m/s²
(NIST SP 811, appendix B.8; the factors of the definitions are exact).
"""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from functools import lru_cache


class TorqueUnit(StrEnum):
    """A unit of torque; the value is how it is shown and stored."""

    NEWTON_METRE = "N·m"
    POUND_FOOT = "lb·ft"
    POUND_INCH = "lb·in"
    KILOGRAM_METRE = "kgf·m"
    KILOGRAM_CENTIMETRE = "kgf·cm"
    NEWTON_CENTIMETRE = "N·cm"
    CENTINEWTON_METRE = "cN·m"
    DECANEWTON_METRE = "daN·m"
    OUNCE_INCH = "ozf·in"


_POUND_FORCE = Decimal("0.45359237") * Decimal("9.80665")
NEWTON_METRES: dict[TorqueUnit, Decimal] = {
    TorqueUnit.NEWTON_METRE: Decimal(1),
    TorqueUnit.POUND_FOOT: _POUND_FORCE * Decimal("0.3048"),
    TorqueUnit.POUND_INCH: _POUND_FORCE * Decimal("0.0254"),
    TorqueUnit.KILOGRAM_METRE: Decimal("9.80665"),
    TorqueUnit.KILOGRAM_CENTIMETRE: Decimal("0.0980665"),
    TorqueUnit.NEWTON_CENTIMETRE: Decimal("0.01"),
    TorqueUnit.CENTINEWTON_METRE: Decimal("0.01"),
    TorqueUnit.DECANEWTON_METRE: Decimal(10),
    TorqueUnit.OUNCE_INCH: _POUND_FORCE / 16 * Decimal("0.0254"),
}
OFFERED = "N·m, lb·ft, lb·in, kgf·m or kgf·cm"
"""The units that a person is asked to choose from."""

_GAP = r"[\s.·•∙⋅‧・*×/_\-‐‑‒–—−⁃]*(?:x\s)?"
_POUND = rf"(?:pounds?|[li]bs?|\#)(?:{_GAP}(?:\(f\)|force|f)(?![a-eg-hj-z]))?"
_FOOT = r"(?:feet|foot|ft)"
_INCH = r"(?:inch(?:es)?|ins?)"
_KILOGRAM = r"(?:kilogram(?:me)?s?|kilopond|kgs?|kp|кг)(?:\W?(?:force|f|с))?"
_NEWTON = r"(?:newtons?|n|н)"
_METRE = r"(?:m(?:et(?:er|re)|ètre)s?|m|м)"
_CENTIMETRE = r"(?:centimet(?:er|re)s?|cm|см)"


def _either_way(one: str, other: str) -> str:
    return rf"(?:{one}{_GAP}{other}|{other}{_GAP}{one})(?:s|{_GAP}(?:f|force)(?![a-z]))?"


_SPELLINGS: dict[TorqueUnit, tuple[str, str]] = {
    TorqueUnit.POUND_FOOT: ("ft_lb", _either_way(_POUND, _FOOT)),
    TorqueUnit.POUND_INCH: ("in_lb", _either_way(_POUND, _INCH)),
    TorqueUnit.KILOGRAM_CENTIMETRE: ("kg_cm", _either_way(_KILOGRAM, _CENTIMETRE)),
    TorqueUnit.KILOGRAM_METRE: ("kg_m", _either_way(_KILOGRAM, _METRE)),
    TorqueUnit.CENTINEWTON_METRE: ("cn_m", rf"cn{_GAP}m"),
    TorqueUnit.DECANEWTON_METRE: ("dan_m", rf"(?:dan{_GAP}m|m{_GAP}dan)"),
    TorqueUnit.NEWTON_CENTIMETRE: ("n_cm", rf"{_NEWTON}{_GAP}{_CENTIMETRE}"),
    TorqueUnit.NEWTON_METRE: ("n_m", rf"{_NEWTON}{_GAP}{_METRE}|m{_GAP}n(?!{_GAP}m)"),
    TorqueUnit.OUNCE_INCH: ("oz_in", _either_way(r"(?:ounces?|ozf?)", _INCH)),
}
UNIT = "(?:" + "|".join(spelling for _, spelling in _SPELLINGS.values()) + r")(?![a-z0-9²³])\.?"
"""A regular expression, to be used without regard to case, for any spelling of any unit."""

_UNIT_BY_GROUP = {group: unit for unit, (group, _) in _SPELLINGS.items()}
_NAMED = re.compile(
    "|".join(f"(?P<{group}>{spelling})" for group, spelling in _SPELLINGS.values()),
    re.IGNORECASE,
)


_FIRST_LETTER = re.compile(r"[^\W\d_]|\#")


@lru_cache(maxsize=512)
def unit_named(text: str) -> TorqueUnit | None:
    """Return the unit of a printed spelling such as `ft. lbs.` or `kgf-cm`; `None` where it is none."""
    match = _NAMED.fullmatch(text.strip().rstrip(". "))
    return _UNIT_BY_GROUP[match.lastgroup] if match and match.lastgroup else None


def split_unit(text: str) -> tuple[str, TorqueUnit, str] | None:
    """Return what stands before the first unit, the unit, and what stands behind; `None` without a unit."""
    letter = _FIRST_LETTER.search(text)
    match = _NAMED.search(text, letter.start()) if letter else None
    if match is None or match.lastgroup is None:
        return None
    return text[: match.start()], _UNIT_BY_GROUP[match.lastgroup], text[match.end() :]


@dataclass(frozen=True, slots=True)
class Quantity:
    """One torque value as printed.

    Args:
        value: The number with the digits of the print, in `unit`.
        unit: The unit that stands beside it.
    """

    value: Decimal
    unit: TorqueUnit


def torque_nm(quantity: Quantity) -> float:
    """Return a torque in newton metres, exact by definition up to the last bit, [N·m]."""
    return float(quantity.value * NEWTON_METRES[quantity.unit])


def converted(quantity: Quantity, to_unit: TorqueUnit) -> Quantity:
    """Return the same torque in another unit, unrounded (28 digits)."""
    if quantity.unit is to_unit:
        return quantity
    newton_metres = quantity.value * NEWTON_METRES[quantity.unit]
    return Quantity(newton_metres / NEWTON_METRES[to_unit], to_unit)


MOST_OFF = Decimal("0.005")
"""How far a converted figure may be off, [-]: 0.5 % of the print."""
_MOST_DIGITS = 3


def significant_digits(value: Decimal) -> int:
    """Return how many digits a print claims, [-]: `36` 2, `7.50` 3, `0.9` 1, `100` 3."""
    return len(value.as_tuple().digits)


def sensible(value: Decimal, printed: Decimal) -> Decimal:
    """Return a converted value with as many digits as its print has, two at the least.

    A further digit is taken, up to three, where rounding to fewer is off by more than 0.5 %; what is shown
    then carries a sign that says so.
    """
    for digits in range(max(2, significant_digits(printed)), _MOST_DIGITS + 1):
        rounded = rounded_to(value, digits)
        if abs(rounded - value) <= MOST_OFF * value:
            return rounded
    return rounded_to(value, max(_MOST_DIGITS, significant_digits(printed)))


def rounded_to(value: Decimal, digits: int) -> Decimal:
    """Return a value rounded to significant digits, halves upward."""
    return value.quantize(Decimal(1).scaleb(value.adjusted() - digits + 1), ROUND_HALF_UP)


def plain(value: Decimal) -> str:
    """Return a decimal without an exponent, its printed digits kept: `1E+2` gives `100`."""
    return f"{value:f}"
