"""A layered drawing of what waits for what: where each box stands and how the lines between them run.

A box stands one layer below the lowest that it waits for, so that the number of layers is that of the
longest path. A layer that is too wide for the paper is broken into rows. A line passes each row between
at a bend of its own. Crossings are made fewer by sweeps: each row is sorted by the mean place of its
neighbours in the row before. That is a rule of thumb; the fewest crossings are not promised.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from app.core.plan.jobs import only_nearest

SWEEPS = 8


@dataclass(frozen=True, slots=True)
class Shape:
    """The measures of a drawing, all in one unit.

    Args:
        width, height: Of a box.
        gap: Between boxes of a row.
        drop: Between rows, for the lines.
        lane: What a line takes that passes a row.
        most: Boxes in a row.
    """

    width: float = 184
    height: float = 92
    gap: float = 16
    drop: float = 40
    lane: float = 14
    most: int = 4


@dataclass(frozen=True, slots=True)
class Box:
    """A box: its upper left corner."""

    id: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Wire:
    """A line from the lower edge of one box to the upper edge of one that waits for it."""

    before: str
    after: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class LayerDrawing:
    """Boxes, lines, and the size of it all."""

    boxes: tuple[Box, ...]
    wires: tuple[Wire, ...]
    width: float
    height: float


def layers_of(after: Mapping[str, frozenset[str]], order: Sequence[str]) -> dict[str, int]:
    """Return each id's layer: the number of steps on the longest path that leads to it.

    Args:
        after: Id -> ids to be done before; all of them in `order`.
        order: All ids, each after all it waits for.
    """
    found: dict[str, int] = {}
    for node in order:
        found[node] = max((found[before] + 1 for before in after[node]), default=0)
    return found


def draw(
    after: Mapping[str, frozenset[str]], order: Sequence[str], shape: Shape | None = None
) -> LayerDrawing:
    """Return the drawing. What follows from other lines is not drawn.

    Args:
        after: Id -> ids to be done before; ids that are not in `order` are passed over.
        order: All ids, each after all it waits for.
        shape: Its measures.
    """
    shape = shape or Shape()
    among = set(order)
    nearest = only_nearest({node: after[node] & among for node in order}, order)
    rows, level = _rows(layers_of(nearest, order), order, shape.most)
    chains = [_chain(before, node, level) for node in order for before in sorted(nearest[node])]
    for chain in chains:
        for bend in chain[1:-1]:
            rows[bend[2]].append(bend)
    links = [link for chain in chains for link in pairwise(chain)]
    rows = _sweep(rows, links)
    middle = _place(rows, links, shape)
    return _drawn(rows, chains, middle, shape)


Spot = tuple[str, str, int]
"""A box (its id, nothing, its row) or where a line passes a row (from, to, row)."""


def _rows(
    layer: Mapping[str, int], order: Sequence[str], most: int
) -> tuple[list[list[Spot]], dict[str, int]]:
    """Return the rows of boxes, and each id's row."""
    rows: list[list[Spot]] = []
    level: dict[str, int] = {}
    for at in range(max(layer.values(), default=-1) + 1):
        members = [node for node in order if layer[node] == at]
        parts = -(-len(members) // most)
        size = -(-len(members) // parts)
        for start in range(0, len(members), size):
            row = members[start : start + size]
            level |= dict.fromkeys(row, len(rows))
            rows.append([(node, "", len(rows)) for node in row])
    return rows, level


def _chain(before: str, node: str, level: Mapping[str, int]) -> list[Spot]:
    start, end = level[before], level[node]
    bends: list[Spot] = [(before, node, row) for row in range(start + 1, end)]
    return [(before, "", start), *bends, (node, "", end)]


def _sweep(rows: list[list[Spot]], links: Sequence[tuple[Spot, Spot]]) -> list[list[Spot]]:
    """Return the rows sorted by their neighbours, in the order with the fewest crossings met."""
    above, below = _neighbours(links)
    best, fewest = [list(row) for row in rows], crossings(rows, links)
    for sweep in range(SWEEPS):
        if not fewest:
            break
        down = sweep % 2 == 0
        rows = _sorted_rows(rows if down else rows[::-1], above if down else below)
        rows = rows if down else rows[::-1]
        count = crossings(rows, links)
        if count < fewest:
            best, fewest = rows, count
    return best


def _neighbours(
    links: Iterable[tuple[Spot, Spot]],
) -> tuple[dict[Spot, list[Spot]], dict[Spot, list[Spot]]]:
    above: dict[Spot, list[Spot]] = {}
    below: dict[Spot, list[Spot]] = {}
    for upper, lower in links:
        above.setdefault(lower, []).append(upper)
        below.setdefault(upper, []).append(lower)
    return above, below


def _sorted_rows(rows: Sequence[Sequence[Spot]], towards: Mapping[Spot, Sequence[Spot]]) -> list[list[Spot]]:
    found: list[list[Spot]] = [list(row) for row in rows[:1]]
    for row in rows[1:]:
        place = {spot: (at + 0.5) / len(found[-1]) for at, spot in enumerate(found[-1])}
        own = {spot: (at + 0.5) / len(row) for at, spot in enumerate(row)}

        def mean(spot: Spot, place: Mapping[Spot, float] = place, own: Mapping[Spot, float] = own) -> float:
            near = [place[other] for other in towards.get(spot, ()) if other in place]
            return sum(near) / len(near) if near else own[spot]

        found.append(sorted(row, key=mean))
    return found


def crossings(rows: Sequence[Sequence[Spot]], links: Iterable[tuple[Spot, Spot]]) -> int:
    """Return how often lines between neighbouring rows cross."""
    place = {spot: at for row in rows for at, spot in enumerate(row)}
    between: dict[int, list[tuple[int, int]]] = {}
    for upper, lower in links:
        between.setdefault(upper[2], []).append((place[upper], place[lower]))
    return sum(
        1
        for pairs in between.values()
        for at, (a, b) in enumerate(pairs)
        for c, d in pairs[at + 1 :]
        if (a - c) * (b - d) < 0
    )


def _place(
    rows: Sequence[Sequence[Spot]], links: Sequence[tuple[Spot, Spot]], shape: Shape
) -> dict[Spot, float]:
    """Return the middle of each spot: near its neighbours, in its row's order, none over another."""
    above, below = _neighbours(links)
    middle: dict[Spot, float] = {}
    for row in rows:
        total = sum(_wide(spot, shape) for spot in row) + shape.gap * (len(row) - 1)
        x = -total / 2
        for spot in row:
            middle[spot] = x + _wide(spot, shape) / 2
            x += _wide(spot, shape) + shape.gap
    for sweep in range(SWEEPS):
        towards = above if sweep % 2 == 0 else below
        for row in rows if sweep % 2 == 0 else rows[::-1]:
            wished = [
                sum(middle[n] for n in near) / len(near) if (near := towards.get(spot, [])) else middle[spot]
                for spot in row
            ]
            middle |= zip(row, _spread(wished, row, shape), strict=True)
    left = min((middle[spot] - _wide(spot, shape) / 2 for row in rows for spot in row), default=0)
    return {spot: x - left for spot, x in middle.items()}


def _spread(wished: Sequence[float], row: Sequence[Spot], shape: Shape) -> list[float]:
    """Return places in the row's order, far enough apart: the mean of pushing from both sides."""
    apart = [(_wide(a, shape) + _wide(b, shape)) / 2 + shape.gap for a, b in pairwise(row)]
    rightwards = list(wished)
    for at, need in enumerate(apart):
        rightwards[at + 1] = max(rightwards[at + 1], rightwards[at] + need)
    leftwards = list(wished)
    for at in range(len(apart) - 1, -1, -1):
        leftwards[at] = min(leftwards[at], leftwards[at + 1] - apart[at])
    return [(a + b) / 2 for a, b in zip(rightwards, leftwards, strict=True)]


def _wide(spot: Spot, shape: Shape) -> float:
    return shape.lane if spot[1] else shape.width


def _drawn(
    rows: Sequence[Sequence[Spot]],
    chains: Iterable[Sequence[Spot]],
    middle: Mapping[Spot, float],
    shape: Shape,
) -> LayerDrawing:
    step = shape.height + shape.drop
    boxes = tuple(
        Box(spot[0], middle[spot] - shape.width / 2, spot[2] * step)
        for row in rows
        for spot in row
        if not spot[1]
    )
    wires = tuple(Wire(chain[0][0], chain[-1][0], _points(chain, middle, shape)) for chain in chains)
    width = max((middle[spot] + _wide(spot, shape) / 2 for row in rows for spot in row), default=0)
    return LayerDrawing(boxes, wires, width, max(0, len(rows) * step - shape.drop))


def _points(
    chain: Sequence[Spot], middle: Mapping[Spot, float], shape: Shape
) -> tuple[tuple[float, float], ...]:
    """Return the corners of a line: out of a box below, straight through the rows between, in from above."""
    step = shape.height + shape.drop
    points = [(middle[chain[0]], chain[0][2] * step + shape.height)]
    for bend in chain[1:-1]:
        points += [(middle[bend], bend[2] * step), (middle[bend], bend[2] * step + shape.height)]
    points.append((middle[chain[-1]], chain[-1][2] * step))
    return tuple(points)
