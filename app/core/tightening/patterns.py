"""Where the bolts of a group lie and in which order they are tightened: as drawn on the card and on paper."""

from dataclasses import dataclass
from math import isfinite

from app.core.items.items import Fastener
from app.core.problem import Problem
from app.core.tightening.sequence import (
    Order,
    Pattern,
    Point,
    circle_points,
    grid_points,
    line_order,
    own_order,
    rectangle_order,
    star_order,
)

MOST_BOLTS = 120
WIDEST_MM = 3000.0
"""Larger than any joint of an engine, [mm]. A rule of the product."""


@dataclass(frozen=True, slots=True)
class PatternDrawing:
    """A group's bolts as they are drawn.

    Args:
        points: One place a bolt, by number; right and down. In millimetres where `measured`, else in steps.
        order: Bolt numbers, first to last.
        measured: Whether the places are known, so that it can be printed in its real size.
    """

    points: tuple[Point, ...]
    order: Order
    measured: bool = False

    @property
    def size(self) -> Point:
        """Width and height between the outermost middles, in the unit of `points`."""
        across, down = zip(*self.points, strict=True)
        return max(across) - min(across), max(down) - min(down)


def drawing_of(group: Fastener, bolts: int) -> PatternDrawing | Problem | None:
    """Return how a group is drawn.

    Args:
        group: Its pattern, rows, own order and places.
        bolts: How many there are, at least 1.

    Returns:
        The drawing; `None` where nobody said how the bolts lie; a `Problem` that names the field.
    """
    if not group.pattern or bolts < 1:
        return None
    if group.pattern not in set(Pattern):
        return Problem("pattern-unknown", "Choose how the bolts lie.", "pattern")
    if bolts > MOST_BOLTS:
        return Problem("too-many-bolts", f"At most {MOST_BOLTS} bolts can be drawn.", "n")
    rows = _rows(Pattern(group.pattern), bolts, group.rows)
    return rows if isinstance(rows, Problem) else _drawn(group, Pattern(group.pattern), bolts, rows)


def _drawn(group: Fastener, pattern: Pattern, bolts: int, rows: int) -> PatternDrawing | Problem:
    order = own_order(group.own_order, bolts) if group.own_order.strip() else _order(pattern, bolts, rows)
    if isinstance(order, Problem):
        return Problem(order.code, order.message, "own_order")
    if not group.places_mm.strip():
        return PatternDrawing(_points(pattern, bolts, rows), order)
    places = read_places(group.places_mm, pattern, bolts, rows)
    return places if isinstance(places, Problem) else PatternDrawing(places, order, measured=True)


def _rows(pattern: Pattern, bolts: int, rows: int) -> int | Problem:
    if pattern is Pattern.TWO_ROWS:
        rows = 2
    elif pattern is not Pattern.RECTANGLE:
        return 1
    if rows < 1 or bolts % rows:
        return Problem(
            "rows-do-not-fit",
            f"{bolts} bolts do not make {rows} equal rows: correct the count or the rows, or choose "
            "«own order» and measure their places.",
            "rows",
        )
    return rows


def _order(pattern: Pattern, bolts: int, rows: int) -> Order:
    if pattern is Pattern.CIRCLE:
        return star_order(bolts)
    if pattern is Pattern.OWN:
        return tuple(range(1, bolts + 1))
    return line_order(bolts) if rows == 1 else rectangle_order(rows, bolts // rows)


def _points(pattern: Pattern, bolts: int, rows: int) -> tuple[Point, ...]:
    if pattern is Pattern.CIRCLE:
        return circle_points(bolts)
    if pattern is Pattern.OWN:
        return _wrapped(bolts)
    return grid_points(rows, bolts // rows)


def _wrapped(bolts: int) -> tuple[Point, ...]:
    """Return places for bolts of which nobody said where they lie: in rows of six, to be read as a list."""
    return tuple((float(number % 6), float(number // 6)) for number in range(bolts))


def read_places(text: str, pattern: Pattern, bolts: int, rows: int) -> tuple[Point, ...] | Problem:
    """Read where the holes are.

    Args:
        text: One number for a circle (its diameter) or a line (the step); `80 x 100` for rows (step along and
            step between the rows); or one `x,y` a hole, with semicolons, right and down, [mm].
        pattern: How the bolts lie.
        bolts: How many there are.
        rows: Rows of the pattern.

    Returns:
        The places by bolt number, [mm], or a `Problem` for the field `places_mm`.
    """
    pairs = [_floats(part.split(",")) for part in text.split(";") if part.strip()]
    if len(pairs) == bolts and all(pair is not None and len(pair) == 2 for pair in pairs):  # noqa: PLR2004 - x, y
        return tuple((pair[0], pair[1]) for pair in pairs if pair)
    steps = _floats(text.lower().replace("×", "x").replace("mm", "").split("x"))
    if steps and all(step > 0 for step in steps):
        if pattern is Pattern.CIRCLE and len(steps) == 1:
            return tuple((x * steps[0] / 2, y * steps[0] / 2) for x, y in circle_points(bolts))
        if pattern is not Pattern.CIRCLE and pattern is not Pattern.OWN and len(steps) == min(rows, 2):
            return tuple((x * steps[0], y * steps[-1]) for x, y in grid_points(rows, bolts // rows))
    return Problem(
        "places-unreadable",
        f"“{text.strip()[:30]}” cannot be read. A circle: its diameter in mm, such as 120. Rows: the step "
        "along and between them, such as 80 x 100. A line: its step. Or one “x,y” for each of the "
        f"{bolts} holes with semicolons.",
        "places_mm",
    )


def _floats(words: list[str]) -> list[float] | None:
    try:
        numbers = [float(word) for word in words]
    except ValueError:
        return None
    return numbers if all(isfinite(number) and abs(number) <= WIDEST_MM for number in numbers) else None
