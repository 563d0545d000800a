"""Where bolts lie: from a pattern, a count and a few measures."""

import math

import pytest

from app.core.items.items import Fastener
from app.core.problem import Problem
from app.core.tightening.patterns import PatternDrawing, drawing_of


def drawn(bolts: int, **detail: object) -> PatternDrawing:
    found = drawing_of(Fastener(**detail), bolts)  # type: ignore[arg-type] # the tests' own words
    assert isinstance(found, PatternDrawing), found
    return found


def refused(bolts: int, **detail: object) -> Problem:
    found = drawing_of(Fastener(**detail), bolts)  # type: ignore[arg-type] # the tests' own words
    assert isinstance(found, Problem), found
    return found


def test_nobody_said_how_they_lie_so_nothing_is_drawn() -> None:
    assert drawing_of(Fastener(), 4) is None
    assert drawing_of(Fastener(pattern="circle"), 0) is None


@pytest.mark.parametrize(
    ("bolts", "detail", "order"),
    [
        (4, {"pattern": "circle"}, (1, 3, 2, 4)),
        (6, {"pattern": "two rows"}, (2, 5, 3, 4, 1, 6)),
        (5, {"pattern": "line"}, (3, 4, 2, 5, 1)),
        (3, {"pattern": "own order"}, (1, 2, 3)),
        (4, {"pattern": "circle", "own_order": "4 3 2 1"}, (4, 3, 2, 1)),
    ],
)
def test_every_bolt_has_its_turn_once(bolts: int, detail: dict[str, object], order: tuple[int, ...]) -> None:
    found = drawn(bolts, **detail)
    assert sorted(found.order) == list(range(1, bolts + 1))
    assert len(found.points) == bolts
    if detail.get("pattern") != "two rows":
        assert found.order == order
    else:
        assert set(found.order[:2]) == {2, 5}


def test_a_measured_circle_has_its_diameter() -> None:
    found = drawn(8, pattern="circle", places_mm="120")
    assert found.measured
    assert all(math.hypot(x, y) == pytest.approx(60) for x, y in found.points)


def test_measured_rows_have_their_steps() -> None:
    found = drawn(8, pattern="two rows", places_mm="80 x 110 mm")
    assert found.size == (240, 110)


def test_places_hole_by_hole_serve_any_pattern() -> None:
    found = drawn(3, pattern="own order", places_mm="0,0; 35.5,0; 35.5,20")
    assert found.points == ((0, 0), (35.5, 0), (35.5, 20))


@pytest.mark.parametrize(
    ("bolts", "detail", "where"),
    [
        (5, {"pattern": "two rows"}, "rows"),
        (8, {"pattern": "rectangle", "rows": 3}, "rows"),
        (8, {"pattern": "rectangle"}, "rows"),
        (4, {"pattern": "spiral"}, "pattern"),
        (4, {"pattern": "circle", "own_order": "1 2 3"}, "own_order"),
        (4, {"pattern": "circle", "places_mm": "-5"}, "places_mm"),
        (4, {"pattern": "circle", "places_mm": "nan"}, "places_mm"),
        (4, {"pattern": "circle", "places_mm": "1e9"}, "places_mm"),
        (4, {"pattern": "line", "places_mm": "80 x 80"}, "places_mm"),
        (4, {"pattern": "own order", "places_mm": "1,2; 3,4"}, "places_mm"),
        (121, {"pattern": "circle"}, "n"),
    ],
)
def test_what_does_not_fit_names_its_field(bolts: int, detail: dict[str, object], where: str) -> None:
    assert refused(bolts, **detail).where == where
