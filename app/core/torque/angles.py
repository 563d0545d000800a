"""Angles of tightening stages as printed: degrees, parts of a turn, flats of a hexagon."""

import re
from decimal import Decimal

from app.core.numbers import (
    NUMBER,
    NUMBER_START,
    fraction_value,
    printed_number,
)
from app.core.torque.bands import (
    BAND,
    RANGE_SIGN,
    Band,
    read_band,
)

CELSIUS = r"(?:[CF]|[ \u00a0](?-i:[CF]))"
"""What makes a temperature of degrees; `90° c)` is a further stage."""
_DEGREES = (
    r"(?:°|º|˚|deg(?:rees?|s)?\b|grade?n\b|grader\b|grad[io]\b|grados\b|degrés?\b|graus?\b|grad\b|winkelgrad\b)"
    rf"(?!{CELSIUS}\b)"
)
_TURNS = (
    r"(?:turns?|revolutions?|revs?|rotations?|umdrehung(?:en)?|drehung(?:en)?|tours?|vueltas?|gir[oi]|slag(?:en)?"
    r"|omwenteling(?:en)?|toer|voltas?|varv)\b"
)
_OF_A = (
    r"\s*-?\s*(?:(?:of\s+)?(?:an?\s+)?(?:(?:full|complete|additional|more|further|extra|weitere|ganze|volle|hele)"
    r"\s+)*|d[ei]\s+|d['’]\s?|van\s+een\s+)"
)
_SHARE = rf"(?:\d{{1,2}}/\d{{1,2}}|{NUMBER})"

DEGREES_AHEAD = rf"(?=\s*(?:{_DEGREES}|{_TURNS}))"
_TIMES = r"[x×]"
_SAME_IN_TURNS = r"(?:\s*\(\d/\d\)\s*(?:of\s+a\s+)?turns?\b)?"
ANGLE = (
    rf"{NUMBER_START}{NUMBER}\s*{_DEGREES}\s*{RANGE_SIGN}\s*{NUMBER}\s*{_DEGREES}"
    rf"|{NUMBER_START}(?:[2-9]\s*{_TIMES}\s*(?=\d))?{BAND}\s*{_DEGREES}"
    rf"(?:,?\s*(?:±|\+\s?/\s?[-−–])\s*{NUMBER}\s*(?:{_DEGREES})?)?"
    rf"(?:\s*{_TIMES}\s*[2-9](?![\d.,]))?{_SAME_IN_TURNS}"
    rf"|{NUMBER_START}{_SHARE}(?:\s*{RANGE_SIGN}\s*{_SHARE})?{_OF_A}{_TURNS}"
    rf"|{NUMBER_START}\d\s+flats?\b"
)
"""A regular expression, to be used without regard to case, for an angle that starts with a digit. Those in
words are read by `torque_turns`."""

_LAST_DIGITS = Decimal("1e-9")
_TURN_DEGREES = Decimal(360)
_FLAT_DEGREES = Decimal(60)
_TIMES_AHEAD = re.compile(rf"([2-9])\s*{_TIMES}\s*")
_TIMES_BEHIND = re.compile(rf"\s*{_TIMES}\s*([2-9])\Z")
_SHARES = re.compile(rf"({_SHARE})(?:\s*{RANGE_SIGN}\s*({_SHARE}))?", re.IGNORECASE)
_DEGREE_SIGN = re.compile(_DEGREES, re.IGNORECASE)
_DEGREE_SIGN_COMMA = re.compile(rf"{_DEGREES}(?:,(?=\s*[±+]))?", re.IGNORECASE)


def read_angles(text: str) -> tuple[Band, ...]:
    """Return the angles of a text that matches `ANGLE`, [°]: `2 x 90°` gives two.

    A flat is a sixth of a turn, as on a hexagon.

    Raises:
        ValueError: The text holds a number that cannot be read, such as 1/0.
    """
    if _DEGREE_SIGN.search(text):
        return _in_degrees(text)
    size = _FLAT_DEGREES if "flat" in text.lower() else _TURN_DEGREES
    low, high = _shares(text.lower())
    return (Band(_degrees(low, size), _degrees(high, size)),)


def _in_degrees(text: str) -> tuple[Band, ...]:
    ahead, behind = _TIMES_AHEAD.match(text), _TIMES_BEHIND.search(text)
    signless = _DEGREE_SIGN_COMMA.sub(
        "", text[ahead.end() if ahead else 0 : behind.start() if behind else None]
    )
    band = read_band(signless)
    if band.nominal is None and len(_DEGREE_SIGN.findall(text)) > 1 and band.low >= band.high:
        raise ValueError(text)  # `90° - 45°` can be a range, a minus, one turn after the other
    times = ahead or behind
    return (band,) * (int(times.group(1)) if times else 1)


def _degrees(share: Decimal, size: Decimal) -> Decimal:
    """Return a share of a turn, [°], without the last digits that a sixth or a third leaves behind."""
    degrees = share * size
    whole = degrees.to_integral_value()
    return whole if abs(degrees - whole) < _LAST_DIGITS else degrees.normalize()


def _shares(text: str) -> tuple[Decimal, Decimal]:
    """Return how many turns or flats, from and to: `1/3 to 1/2 turn`, `two flats`."""
    printed = _SHARES.match(text)
    if printed is None:
        raise ValueError(text)
    low = _share(printed.group(1))
    return low, _share(printed.group(2)) if printed.group(2) else low


def _share(text: str) -> Decimal:
    part, slash, parts = text.partition("/")
    if slash and part.isdigit():
        return fraction_value(int(part), int(parts))
    return printed_number(text)
