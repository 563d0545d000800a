"""A fastener group's drawing: its bolts numbered in the order of tightening, the next one marked."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import dist

from app.core.items.items import Fastener, Item
from app.core.items.kinds import Act, Kind, rung
from app.core.items.state import ItemState, PositionState
from app.core.ledger.ledger import has_begun
from app.core.problem import Problem
from app.core.tightening.parsed import holes_of
from app.core.tightening.patterns import PatternDrawing, drawing_of
from app.core.tightening.sequence import loosening_order

Places = tuple[tuple[float, float], ...]

_WIDTH = 300.0
_ROOM = 34.0
_LEAST_STEP = 46.0
_ROOMY_STEP = 68.0
_BESIDE = 36.0
_TALL = 0.8
_CLEAR = 30.0
"""From the middle of what stands beside a bolt to the middle of any other bolt, at the least."""


@dataclass(frozen=True, slots=True)
class Bolt:
    """One bolt as drawn.

    Args:
        number: Its hole.
        turn: When it is its turn, from 1.
        x: To the right, in the drawing's own unit.
        y: Down.
        state: `next`, `done` (at this stage already) or `later`.
        beside: What stands beside it: its length where the group has several, [mm]; else its hole, unless
            that is its turn too.
        at: Where that stands, from the bolt's middle, right and down.
    """

    number: int
    turn: int
    x: float
    y: float
    state: str
    beside: str
    at: tuple[float, float]


@dataclass(frozen=True, slots=True)
class PatternView:
    """What the drawing needs: the bolts by turn, its size, and whether it shows the way of taking off.

    `lengths`: whether the lengths stand beside the bolts, rather than their holes.
    """

    bolts: tuple[Bolt, ...]
    width: float
    height: float
    loosening: bool
    measured: bool
    lengths: bool

    @property
    def next(self) -> Bolt | None:
        """The bolt whose turn it is."""
        return next((bolt for bolt in self.bolts if bolt.state == "next"), None)

    @property
    def is_tall(self) -> bool:
        """Whether it is about as high as wide, so that words have room beside it."""
        return self.height > _TALL * self.width


def pattern_view(item: Item, state: ItemState) -> PatternView | Problem | None:
    """Return the drawing of a group; `None` where nobody said how its bolts lie.

    What was never touched is shown in the order of loosening, the reverse of tightening.
    """
    group = item.detail
    drawing = drawing_of(group, item.n or 0) if isinstance(group, Fastener) else None
    if drawing is None or isinstance(drawing, Problem) or not isinstance(group, Fastener):
        return drawing if isinstance(drawing, Problem) else None
    loosening = not has_begun(state)
    order = loosening_order(drawing.order) if loosening else drawing.order
    done = _done(state)
    following = next((number for number in order if number not in done), 0)
    places, width, height = _fitted(drawing)
    lengths = {p.number: p.length_mm for p in holes_of(item)}
    several = len(set(lengths.values())) > 1
    bolts = tuple(
        Bolt(
            number,
            turn,
            *places[number - 1],
            "next" if number == following else "done" if number in done else "later",
            _beside(number, turn, lengths if several else None),
            _side(places[number - 1], places)[0],
        )
        for turn, number in enumerate(order, start=1)
    )
    return PatternView(bolts, width, height, loosening, drawing.measured, several)


def _beside(number: int, turn: int, lengths: Mapping[int, float | None] | None) -> str:
    if lengths is None:
        return f"{number}" if number != turn else ""
    return f"{lengths[number]:g}" if lengths.get(number) else ""


def _done(state: ItemState) -> frozenset[int]:
    """Return the holes that are ahead of the group: at the stage that the others have still to reach."""
    lowest = min((_rank(p) for p in state.positions if p.act), default=(0, 0))
    return frozenset(p.n for p in state.positions if p.act and _rank(p) > lowest)


def _rank(position: PositionState) -> tuple[int, int]:
    act = position.act
    return (rung(Kind.FASTENER, act) if act else 0, position.stage if act is Act.STAGE else 0)


def _fitted(drawing: PatternDrawing) -> tuple[Places, float, float]:
    """Return the places with room around them, and the size of the whole: no two bolts touch."""
    room = _ROOM + _CLEAR / 2
    places: Places = ()
    for step in (_LEAST_STEP, _ROOMY_STEP):
        scale = max(_WIDTH / max(*drawing.size, 1e-9), step / _nearest(drawing))
        left, top = (min(ends) for ends in zip(*drawing.points, strict=True))
        places = tuple(
            (round(room + (x - left) * scale, 1), round(room + (y - top) * scale, 1))
            for x, y in drawing.points
        )
        if all(_side(place, places)[1] >= _CLEAR for place in places):
            break
    return (
        places,
        round(max(x for x, _ in places) + room, 1),
        round(max(y for _, y in places) + room, 1),
    )


def _side(place: tuple[float, float], places: Places) -> tuple[tuple[float, float], float]:
    """Return where beside a bolt a word has room, from its middle, and how far the next bolt is from there.

    The same side for all where it can be: above in the upper half, below in the lower; else away from the
    middle of all, else where there is most room.
    """
    others = [other for other in places if other != place]
    middle = (sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places))
    far = dist(place, middle) or 1.0
    upright = -1.0 if place[1] < middle[1] else 1.0
    outward = ((place[0] - middle[0]) / far, (place[1] - middle[1]) / far)
    sides = ((0.0, upright), outward, (0.0, -upright), (1.0, 0.0), (-1.0, 0.0))

    def clear(side: tuple[float, float]) -> float:
        at = (place[0] + side[0] * _BESIDE, place[1] + side[1] * _BESIDE)
        return min((dist(at, other) for other in others), default=_ROOMY_STEP)

    best = max(sides, key=lambda side: min(clear(side), _LEAST_STEP))
    return (round(best[0] * _BESIDE, 1), round(best[1] * _BESIDE, 1)), clear(best)


def _nearest(drawing: PatternDrawing) -> float:
    """Return the least distance between two bolts; 1 for a single one."""
    points = drawing.points
    return min(
        (max(dist(a, b), 1e-6) for i, a in enumerate(points) for b in points[i + 1 :]),
        default=1.0,
    )
