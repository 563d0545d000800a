"""A fastener group's drawing: its bolts numbered in the order of tightening, the next one marked."""

from dataclasses import dataclass

from app.core.items import Fastener, Item
from app.core.kinds import Act, Kind, rung
from app.core.ledger import has_begun
from app.core.patterns import Drawing, drawing_of
from app.core.positions import positions_of
from app.core.problem import Problem
from app.core.state import ItemState, PositionState

_WIDTH = 300.0
_ROOM = 34.0
_LEAST_STEP = 46.0


@dataclass(frozen=True, slots=True)
class Bolt:
    """One bolt as drawn.

    Args:
        number: Its hole.
        turn: When it is its turn, from 1.
        x: To the right, in the drawing's own unit.
        y: Down.
        state: `next`, `done` (at this stage already) or `later`.
        length: Its length where the group has several, [mm]; empty otherwise.
    """

    number: int
    turn: int
    x: float
    y: float
    state: str
    length: str


@dataclass(frozen=True, slots=True)
class PatternView:
    """What the drawing needs: the bolts by turn, its size, and whether it shows the way of taking off."""

    bolts: tuple[Bolt, ...]
    width: float
    height: float
    loosening: bool
    measured: bool

    @property
    def next(self) -> Bolt | None:
        """The bolt whose turn it is."""
        return next((bolt for bolt in self.bolts if bolt.state == "next"), None)


def pattern_view(item: Item, state: ItemState) -> PatternView | Problem | None:
    """Return the drawing of a group; `None` where nobody said how its bolts lie.

    What was never touched is shown in the order of loosening, the reverse of tightening.
    """
    group = item.detail
    drawing = drawing_of(group, item.n or 0) if isinstance(group, Fastener) else None
    if drawing is None or isinstance(drawing, Problem) or not isinstance(group, Fastener):
        return drawing if isinstance(drawing, Problem) else None
    loosening = not has_begun(state)
    order = tuple(reversed(drawing.order)) if loosening else drawing.order
    done = _done(state)
    following = next((number for number in order if number not in done), 0)
    places, width, height = _fitted(drawing)
    lengths = {p.number: p.length_mm for p in positions_of(group.lengths, group.holes, item.positions)}
    several = len(set(lengths.values())) > 1
    bolts = tuple(
        Bolt(
            number,
            turn,
            *places[number - 1],
            "next" if number == following else "done" if number in done else "later",
            f"{lengths[number]:g}" if several and lengths.get(number) else "",
        )
        for turn, number in enumerate(order, start=1)
    )
    return PatternView(bolts, width, height, loosening, drawing.measured)


def _done(state: ItemState) -> frozenset[int]:
    """Return the holes that are ahead of the group: at the stage that the others have still to reach."""
    lowest = min((_rank(p) for p in state.positions if p.act), default=(0, 0))
    return frozenset(p.n for p in state.positions if p.act and _rank(p) > lowest)


def _rank(position: PositionState) -> tuple[int, int]:
    act = position.act
    return (rung(Kind.FASTENER, act) if act else 0, position.stage if act is Act.STAGE else 0)


def _fitted(drawing: Drawing) -> tuple[tuple[tuple[float, float], ...], float, float]:
    """Return the places with room around them, and the size of the whole: no two bolts touch."""
    across, down = drawing.size
    scale = max(_WIDTH / max(across, down, 1e-9), _LEAST_STEP / _nearest(drawing))
    left = min(x for x, _ in drawing.points)
    top = min(y for _, y in drawing.points)
    places = tuple(
        (round(_ROOM + (x - left) * scale, 1), round(_ROOM + (y - top) * scale, 1)) for x, y in drawing.points
    )
    return places, round(across * scale + 2 * _ROOM, 1), round(down * scale + 2 * _ROOM, 1)


def _nearest(drawing: Drawing) -> float:
    """Return the least distance between two bolts; 1 for a single one."""
    points = drawing.points
    return min(
        (
            max(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5, 1e-6)
            for i, a in enumerate(points)
            for b in points[i + 1 :]
        ),
        default=1.0,
    )
