"""In which order the bolts of a group are tightened, in how many passes, and loosened again."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from math import cos, pi, sin

from app.core.problem import Problem

Order = tuple[int, ...]
"""Position numbers from 1, first to last."""
Point = tuple[float, float]
"""Right and down, in the unit that is said with it."""

DEFAULT_SHARES: dict[int, tuple[float, ...]] = {
    1: (1.0,),
    2: (0.5, 1.0),
    3: (0.3, 0.7, 1.0),
    4: (0.25, 0.5, 0.75, 1.0),
}
"""Shares of the final torque by number of passes, [-]. Three: ASME PCC-1 (20-30 %, 50-70 %, 100 %), from
memory; four: https://woodcousa.com/clamp-bolt-tightening-sequence/; two: common practice."""

_SEVEN = (1, 4, 6, 2, 5, 7, 3)
"""The order of the pairs among 14, and so of the fours among 28. Source: ASME PCC-1, from memory."""


class Pattern(StrEnum):
    """How the bolts of a group lie."""

    CIRCLE = "circle"
    TWO_ROWS = "two rows"
    RECTANGLE = "rectangle"
    LINE = "line"
    OWN = "own order"


def star_order(bolts: int) -> Order:
    """Return the crossing order for a circle numbered clockwise from 1.

    An even number is tightened in opposite pairs, the pairs in the order of half as many; an odd number steps
    on by nearly half. Multiples of 4 up to 32 give the star of ASME PCC-1 (from memory): after each pair, and
    after each group of four, the forces balance.

    Raises:
        ValueError: `bolts` is below 1.
    """
    if bolts < 1:
        raise ValueError(bolts)
    if bolts % 2:
        step = max(1, (bolts - 1) // 2)
        return tuple(number * step % bolts + 1 for number in range(bolts))
    half = bolts // 2
    firsts = _SEVEN if half == len(_SEVEN) else star_order(half)
    return tuple(number for first in firsts for number in (first, first + half))


def line_order(bolts: int) -> Order:
    """Return the order for a single line numbered from one end: from the middle outward, side by side.

    Source: common practice.
    """
    return rectangle_order(1, bolts)


def rectangle_order(rows: int, columns: int) -> Order:
    """Return the order for a grid numbered row by row: columns from the centre outward, crossing over.

    Two rows are the usual cylinder head. Source: common practice; manuals print it as a drawing.

    Raises:
        ValueError: There is no row or no column.
    """
    if rows < 1 or columns < 1:
        raise ValueError(rows, columns)
    cells = [(row, column) for row in range(rows) for column in range(columns)]
    return tuple(
        row * columns + column + 1
        for row, column in sorted(cells, key=lambda cell: _from_centre(cell, rows, columns))
    )


def _from_centre(cell: tuple[int, int], rows: int, columns: int) -> tuple[float, float, int, bool]:
    """Sort key: distance of the column, of the row, then corner opposite corner."""
    down, right = cell[0] - (rows - 1) / 2, cell[1] - (columns - 1) / 2
    same_diagonal = (down >= 0) == (right >= 0)
    return abs(right), abs(down), 0 if same_diagonal else 1, right < 0


def own_order(text: str, bolts: int) -> Order | Problem:
    """Read an order that the user types, such as `3 1 4 2`: every position once.

    Returns:
        The order, or a `Problem` for the field `order` that names what is missing, double or not a position.
    """
    words = text.replace(",", " ").replace("-", " ").split()
    strange = next((word for word in words if not word.isdecimal() or not 1 <= int(word[:6]) <= bolts), None)
    if strange:
        return Problem(
            "order-strange", f"“{strange[:10]}” is no position: they run from 1 to {bolts}.", "order"
        )
    numbers = tuple(int(word) for word in words)
    double = next((number for number in numbers if numbers.count(number) > 1), None)
    if double:
        return Problem("order-double", f"Position {double} is named twice.", "order")
    missing = sorted(set(range(1, bolts + 1)) - set(numbers))
    if missing:
        return Problem("order-missing", f"Missing: {', '.join(map(str, missing))}.", "order")
    return numbers


def loosening_order(tightening: Order) -> Order:
    """Return the order for taking off: the reverse. Source: common practice."""
    return tuple(reversed(tightening))


def pass_torques(final: Decimal, shares: Sequence[float]) -> tuple[Decimal, ...]:
    """Return the torque of each pass, in the unit of `final`; the whole torque stays as it is printed.

    Args:
        final: The final torque, above 0.
        shares: The share of it that each pass reaches, [-]; those below 1 are rounded to three digits.
    """
    return tuple(final if share == 1 else _three_digits(final * Decimal(str(share))) for share in shares)


def _three_digits(value: Decimal) -> Decimal:
    rounded = value.quantize(Decimal(1).scaleb(value.adjusted() - 2), ROUND_HALF_UP).normalize()
    return rounded.quantize(Decimal(1)) if rounded == rounded.to_integral() else rounded


def circle_points(bolts: int) -> tuple[Point, ...]:
    """Return the places of a circle of radius 1, clockwise, the first at the top."""
    turns = [2 * pi * number / bolts for number in range(bolts)]
    return tuple((sin(turn), -cos(turn)) for turn in turns)


def grid_points(rows: int, columns: int) -> tuple[Point, ...]:
    """Return the places of a grid with step 1, row by row, around the middle."""
    return tuple(
        (column - (columns - 1) / 2, row - (rows - 1) / 2) for row in range(rows) for column in range(columns)
    )
