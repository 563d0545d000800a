"""What the page of the plan draws: heights as a stepped line, the steps as boxes below each other."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from textwrap import wrap

from app.core.builds.work import Work
from app.core.plan.heights import Run
from app.core.plan.layers import LayerDrawing, Shape, draw
from app.core.wording.heights import HEIGHT_TEXT
from app.core.wording.plan import hours
from app.web.site.wording import in_dialect

LOW_TO_HIGH = ("ground", "wheels", "stands", "lift")
SHAPE = Shape()
LETTERS = 20
"""That fit a line of a box."""

LINES = 3
MOST_BOXES = 150
MARGIN = 3


@dataclass(frozen=True, slots=True)
class Stair:
    """The runs as a stepped line, in units of the drawing.

    Args:
        rows: (y, height's words) from the highest down.
        marks: (x, y, number of the run) in the middle of each tread.
        path: The line.
    """

    width: int
    height: int
    rows: tuple[tuple[int, str], ...]
    marks: tuple[tuple[int, int, int], ...]
    path: str


LEFT, TREAD, RISE, TOP = 128, 56, 48, 30


def stair(runs: Sequence[Run]) -> Stair | None:
    """Return the stepped line of the runs; `None` where no height matters to any."""
    tall = [(number, run.height) for number, run in enumerate(runs, 1) if run.height]
    if not tall:
        return None
    known = [height for height in reversed(LOW_TO_HIGH) if height in {h for _, h in tall}]
    y = {height: TOP + at * RISE for at, height in enumerate(known)}
    corners = [
        f"{LEFT + at * TREAD} {y[h]} {LEFT + (at + 1) * TREAD} {y[h]}" for at, (_, h) in enumerate(tall)
    ]
    return Stair(
        LEFT + len(tall) * TREAD + 8,
        TOP + (len(known) - 1) * RISE + 18,
        tuple((y[height], HEIGHT_TEXT[height]) for height in known),
        tuple((LEFT + at * TREAD + TREAD // 2, y[h], number) for at, (number, h) in enumerate(tall)),
        "M" + " L".join(corners),
    )


def state_of(work: Work) -> str:
    """Return `done`, `ready` or `waits`."""
    if not work.open:
        return "done"
    return "waits" if work.job.after else "ready"


def name_of(work: Work) -> str:
    """Return what a step, or a part of one, is called on the page."""
    name = in_dialect(work.name) or "Lines without a step"
    name = f"Left over: {name}" if work.leftover else name
    return f"{name} ({work.part} of {work.parts})" if work.parts > 1 else name


@dataclass(frozen=True, slots=True)
class Card:
    """A box of the drawing with its words."""

    x: float
    y: float
    lines: tuple[str, ...]
    state: str
    foot: str


def graph(works: Sequence[Work]) -> tuple[LayerDrawing, tuple[Card, ...]] | None:
    """Return the drawing of the steps and its boxes; `None` where they are too many to be read."""
    if not 0 < len(works) <= MOST_BOXES:
        return None
    drawing = draw({work.job.id: work.needs for work in works}, [work.job.id for work in works], SHAPE)
    by_id = {work.job.id: work for work in works}
    return drawing, tuple(_card(box.x, box.y, by_id[box.id]) for box in drawing.boxes)


@dataclass(frozen=True, slots=True)
class Frame:
    """The size of the drawing with room around it, and the base line of a box's last words."""

    margin: int
    width: int
    height: int
    foot: int


def frame(drawing: LayerDrawing) -> Frame:
    """Return the frame of a drawing."""
    room = 2 * MARGIN
    return Frame(MARGIN, round(drawing.width) + room, round(drawing.height) + room, round(SHAPE.height) - 9)


def _card(x: float, y: float, work: Work) -> Card:
    state = state_of(work)
    foot = state if state == "done" else f"{state} · {hours(work.job.minutes)}"
    lines = wrap(name_of(work), LETTERS, max_lines=LINES, placeholder=" …")
    return Card(x, y, tuple(lines), state, foot)


def outstanding_of(work: Work, works: Mapping[str, Work]) -> tuple[str, ...]:
    """Return the names of what a step waits for, in the order of doing."""
    return tuple(name_of(other) for key, other in works.items() if key in work.job.after)


def wire_path(points: Iterable[tuple[float, float]]) -> str:
    """Return a line through points as a path: straight down along a row, curved between rows."""
    (x, y), *rest = points
    path = f"M{x:.0f} {y:.0f}"
    for u, v in rest:
        middle = (y + v) / 2
        path += f"V{v:.0f}" if u == x else f"C{x:.0f} {middle:.0f} {u:.0f} {middle:.0f} {u:.0f} {v:.0f}"
        x, y = u, v
    return path
