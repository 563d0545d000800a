"""The pattern of a fastener group as PDF: in its real size, over as many sheets as it takes."""

from dataclasses import dataclass
from io import BytesIO
from itertools import product
from math import ceil

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from app.core.problem import Problem
from app.paper.fonts import HEAVY, fitting, register_fonts
from app.paper.sheet_edge import draw_bar

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height, [mm]. Source: ISO 216; ANSI/ASME Y14.1."""
MOST_SHEETS = 12
_MARGIN = 12.0
_HEAD = 24.0
_SMALL = 2.6
_LINES = 3
_STEP = 3.2
_FOOT = 20.0
_ROOM = 16.0
_SCHEMATIC = 24.0
_RADIUS = 7.0
_OVERLAP = 10.0


@dataclass(frozen=True, slots=True)
class HoleMark:
    """One hole.

    Args:
        number: As the user counts.
        turn: When it is its turn, from 1.
        x: To the right, [mm] where measured, else steps.
        y: Down, likewise.
        length_mm: The length of its bolt, [mm].
    """

    number: int
    turn: int
    x: float
    y: float
    length_mm: float | None = None


@dataclass(frozen=True, slots=True)
class PatternSheet:
    """What is printed: title, a line of words, the holes, and whether their places are measured."""

    title: str
    words: str
    holes: tuple[HoleMark, ...]
    measured: bool


def pattern_pdf(what: PatternSheet, paper: tuple[float, float]) -> bytes | Problem:
    """Return the pattern as PDF.

    A measured pattern is printed in its real size with a bar of 100 mm to prove it; a larger one goes over
    several sheets that overlap by 10 mm. Without measures it is drawn to fit one sheet, and says so.

    Args:
        what: The pattern.
        paper: Width and height of a sheet, [mm].

    Returns:
        The PDF, or a `Problem` where it would take more than 12 sheets.
    """
    wide, high = paper[0] - 2 * _MARGIN, paper[1] - _HEAD - _FOOT
    places = _placed(what, wide, high)
    across = max(x for _, x, _ in places) + _ROOM
    down = max(y for _, _, y in places) + _ROOM
    columns, rows = _sheets(across, wide), _sheets(down, high)
    if columns * rows > MOST_SHEETS:
        return Problem(
            "too-large",
            f"At its real size of {across:.0f} × {down:.0f} mm it would take {columns * rows} sheets: "
            f"at most {MOST_SHEETS} are printed. Check the places of the holes.",
            "places_mm",
        )
    register_fonts()
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=(paper[0] * mm, paper[1] * mm), invariant=True)
    canvas.setTitle(what.title)
    sheets = list(product(range(rows), range(columns)))
    for nth, (row, column) in enumerate(sheets, start=1):
        _draw_text(canvas, what, paper, f"Sheet {nth} of {len(sheets)}")
        canvas.saveState()
        _clip(canvas, paper, wide, high)
        left, top = column * (wide - _OVERLAP), row * (high - _OVERLAP)
        for hole, x, y in places:
            _draw_hole(canvas, hole, _MARGIN + x - left, paper[1] - _HEAD - y + top)
        canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _sheets(length: float, one: float) -> int:
    return 1 if length <= one else ceil((length - _OVERLAP) / (one - _OVERLAP))


def _placed(what: PatternSheet, wide: float, high: float) -> list[tuple[HoleMark, float, float]]:
    left, top = min(hole.x for hole in what.holes), min(hole.y for hole in what.holes)
    across = max(hole.x for hole in what.holes) - left
    down = max(hole.y for hole in what.holes) - top
    fits = min((wide - 2 * _ROOM) / (across or 1), (high - 2 * _ROOM) / (down or 1))
    scale = 1.0 if what.measured else min(fits, 2 * _SCHEMATIC if max(across, down) > 2 else 3 * _SCHEMATIC)  # noqa: PLR2004 - a circle of radius 1 needs more room than a grid of steps
    return [(hole, _ROOM + (hole.x - left) * scale, _ROOM + (hole.y - top) * scale) for hole in what.holes]


def _draw_text(canvas: Canvas, what: PatternSheet, paper: tuple[float, float], sheet: str) -> None:
    canvas.setFont(HEAVY, 5 * mm)
    canvas.drawString(_MARGIN * mm, (paper[1] - 12) * mm, what.title[:52])
    canvas.setFont(HEAVY, _SMALL * mm)
    lines = fitting(what.words, paper[0] - 2 * _MARGIN, _SMALL)
    told = [*lines[: _LINES - 1], "The whole print is on the card."] if len(lines) > _LINES else lines
    for nth, line in enumerate(told):
        canvas.drawString(_MARGIN * mm, (paper[1] - 16 - nth * _STEP) * mm, line)
    canvas.drawRightString((paper[0] - _MARGIN) * mm, (paper[1] - 12) * mm, sheet)
    canvas.drawString(_MARGIN * mm, 15 * mm, _foot(what))
    draw_bar(canvas)


def _foot(what: PatternSheet) -> str:
    if what.measured:
        return "1:1. Large: the turn. Push each bolt through its own hole. The maker's drawing decides."
    return "Not to scale: the places were not measured. Large: the turn. The maker's drawing decides."


def _clip(canvas: Canvas, paper: tuple[float, float], wide: float, high: float) -> None:
    path = canvas.beginPath()
    path.rect(_MARGIN * mm, (paper[1] - _HEAD - high) * mm, wide * mm, high * mm)
    canvas.clipPath(path, stroke=1)


def _draw_hole(canvas: Canvas, hole: HoleMark, x: float, y: float) -> None:
    canvas.setLineWidth(0.4 * mm)
    canvas.circle(x * mm, y * mm, _RADIUS * mm)
    canvas.line((x - 1.5) * mm, y * mm, (x + 1.5) * mm, y * mm)
    canvas.line(x * mm, (y - 1.5) * mm, x * mm, (y + 1.5) * mm)
    canvas.setFont(HEAVY, 5 * mm)
    canvas.drawCentredString(x * mm, (y + 2) * mm, str(hole.turn))
    canvas.setFont(HEAVY, 2.4 * mm)
    canvas.drawCentredString(x * mm, (y - _RADIUS - 3) * mm, f"hole {hole.number}")
    if hole.length_mm:
        canvas.drawCentredString(x * mm, (y - _RADIUS - 6) * mm, f"{hole.length_mm:g} mm")
