"""What stands around the labels of a sheet: its number, how to use and print it, the scale bar, the cuts."""

from collections.abc import Sequence
from itertools import pairwise

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from app.paper.fonts import HEAVY
from app.paper.grids import Area, Grid

# Most printers do not reach the outer 5 mm.
_MARGIN = 9.0
_BAR = 100.0
_TICK = 2.0
_SIZE = 2.5
_BAR_BASE = 8.8
_WORDS_BASE = 5.4


def draw_edge(canvas: Canvas, grid: Grid, *, heading: str, number: int, note: str) -> None:
    """Draw the words above the labels, and the scale bar with its line below them.

    Args:
        canvas: The page.
        grid: The label sheet.
        heading: What the sheet is for.
        number: The sheet's number.
        note: What else has to be known; may be empty.
    """
    canvas.setFont(HEAVY, _SIZE * mm)
    right = (grid.sheet_width_mm - _MARGIN) * mm
    top = grid.sheet_height_mm - min(grid.top_mm - 5.0, 12.0)
    canvas.drawString(_MARGIN * mm, top * mm, heading)
    canvas.drawRightString(right, top * mm, f"Sheet {number}")
    draw_bar(canvas)
    canvas.drawString(
        _MARGIN * mm, _WORDS_BASE * mm, "Print at 100 %, not fitted to the page: this bar is 100 mm long."
    )
    if note:
        canvas.drawRightString(right, (_BAR_BASE + 0.4) * mm, note)


def draw_cut(canvas: Canvas, areas: Sequence[Area], sheet_height: float) -> None:
    """Draw the dashed line between the halves of one tag; nothing for a single tag.

    Args:
        canvas: The page.
        areas: The tag's areas, from left to right.
        sheet_height: The sheet's height, [mm].
    """
    for left, right in pairwise(areas):
        x = (left.right + right.left) / 2 * mm
        top = sheet_height - left.top
        canvas.line(x, top * mm, x, (top - left.height) * mm)


def draw_bar(canvas: Canvas) -> None:
    """Draw the bar of 100 mm that proves the size of the print."""
    canvas.setLineWidth(0.3 * mm)
    canvas.line(_MARGIN * mm, _BAR_BASE * mm, (_MARGIN + _BAR) * mm, _BAR_BASE * mm)
    for step in range(11):
        x = (_MARGIN + _BAR * step / 10) * mm
        height = _TICK if step % 5 == 0 else _TICK / 2
        canvas.line(x, _BAR_BASE * mm, x, (_BAR_BASE + height) * mm)
