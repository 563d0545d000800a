"""Numbers as they are printed: decimal comma, thousands, mixed fractions, fraction characters."""

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

NUMBER = (
    r"(?:\d{1,3}(?:,\d{3})+(?!\d)(?:\.\d+)?"  # 1,200 or 1,200.5
    r"|\d+[\s-]\s?(?:1/2|[12]/3|[13]/4|[1357]/8|1?[13579]/16)(?![\d/])"  # 7 1/2 or 7-1/2
    r"|\d+(?:[.,]\d+)?(?:e[+-]?\d{1,3}(?!\d))?"  # 36, 45.3, 45,3, 1e9
    r"|(?<!\.)\.\d+)"  # .75, but not the end of leader dots
)
NUMBER_START = r"(?=[.\d])(?<!\w)(?<!\d[.,/])"
"""What goes before `NUMBER`: not inside a word or a number; a comma, a bracket or leader dots may be."""
_FRACTION_CHARACTER = re.compile(r"\s?([¼-¾⅐-⅞↉])")
_MIXED = re.compile(r"(\d+)[\s-]\s?(\d+)/(\d+)\Z")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?\Z")


def spell_fractions(text: str) -> str:
    """Return `text` with characters such as ½ spelled `1/2`, a blank before them.

    Source: Unicode compatibility decomposition of the fraction characters.
    """
    return _FRACTION_CHARACTER.sub(_spelled, text).lstrip() if not text.isascii() else text


def _spelled(match: re.Match[str]) -> str:
    return " " + unicodedata.normalize("NFKC", match.group(1)).replace("⁄", "/")


def printed_number(text: str) -> Decimal:
    """Return the value of a number that matches `NUMBER`.

    A comma before exactly three digits parts thousands unless the number starts with 0; any other comma is
    a decimal comma.

    Args:
        text: The number alone, such as `45,3`, `1,200` or `7 1/2`.

    Raises:
        ValueError: The text is not such a number.
    """
    mixed = _MIXED.match(text)
    if mixed:
        whole, part, parts = (int(digits) for digits in mixed.groups())
        return whole + fraction_value(part, parts)
    plain = text.replace(",", "") if _THOUSANDS.match(text) else text.replace(",", ".")
    try:
        return Decimal(plain)
    except ArithmeticError as error:
        raise ValueError(text) from error


def fraction_value(part: int, parts: int) -> Decimal:
    """Return `part / parts` as a decimal; exact for halves, quarters, eighths and so on.

    Raises:
        ValueError: `parts` is 0.
    """
    if not parts:
        raise ValueError(f"{part}/{parts}")
    return Decimal(part) / Decimal(parts)


def mixed_fraction(value: float, largest: int = 64) -> str:
    """Return an inch size as the trade writes it: 1.125 gives `1-1/8`.

    Args:
        value: The size, [in], not negative.
        largest: The largest denominator that is written, [-]; what does not fit is written as a decimal.
    """
    exact = Fraction(value).limit_denominator(largest)
    halved = exact.denominator & (exact.denominator - 1) == 0  # nobody writes tenths of an inch as a fraction
    if not halved or abs(float(exact) - value) > 1e-6:  # noqa: PLR2004 - inch sizes are told apart by 1/64
        return f"{value:g}"
    whole, rest = divmod(exact, 1)
    return "-".join(str(piece) for piece in (whole, rest) if piece) or "0"
