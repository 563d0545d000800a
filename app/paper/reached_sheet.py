"""The values that were reached, on paper: one row a group, nothing cut off, its head on every page."""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from app.paper.fonts import HEAVY, fitting, register_fonts

PAPERS = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
"""Width and height, lying, [mm]. Source: ISO 216; ANSI/ASME Y14.1."""
_MARGIN = 12.0
_SIZE = 2.7
_LINE = 3.7
_GAP = 3.0
_HEAD = 26.0
_FOOT = 12.0


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its heading and its share of the width, [-]."""

    heading: str
    share: float


COLUMNS = (
    Column("Group", 0.2),
    Column("Print, and what it is read as", 0.31),
    Column("Reached", 0.18),
    Column("Wrench", 0.13),
    Column("Who", 0.08),
    Column("When", 0.1),
)
Cell = tuple[str, ...]
"""The lines of a cell; each is broken again where it is too long."""


@dataclass(frozen=True, slots=True)
class ReachedSheet:
    """What is printed.

    Args:
        title: The build's.
        words: What stands beneath it.
        rows: The cells of each row, one for each of `COLUMNS`.
    """

    title: str
    words: str
    rows: tuple[tuple[Cell, ...], ...]


def reached_pdf(what: ReachedSheet, paper: tuple[float, float]) -> bytes:
    """Return the rows as PDF.

    Args:
        what: The rows.
        paper: Width and height of a sheet, [mm].
    """
    register_fonts()
    wide = paper[0] - 2 * _MARGIN
    widths = [column.share * wide for column in COLUMNS]
    rows = [_broken(row, widths) for row in what.rows]
    pages = _paged(rows, paper[1] - _HEAD - _FOOT)
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=(paper[0] * mm, paper[1] * mm), invariant=True)
    canvas.setTitle(what.title)
    for nth, page in enumerate(pages, start=1):
        _draw_head(canvas, what, paper, f"Sheet {nth} of {len(pages)}", widths)
        top = _HEAD
        for row in page:
            top = _draw_row(canvas, row, widths, paper[1], top)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _broken(row: Sequence[Cell], widths: Sequence[float]) -> list[list[str]]:
    return [
        [line for said in cell for line in fitting(said, width - _GAP, _SIZE)]
        for cell, width in zip(row, widths, strict=True)
    ]


def _height(row: Sequence[Sequence[str]]) -> float:
    return max(1, *map(len, row)) * _LINE + _GAP


def _paged(rows: Sequence[list[list[str]]], room: float) -> list[list[list[list[str]]]]:
    """Divide rows among pages; a row higher than a page is alone on its own, and goes on on the next."""
    pages: list[list[list[list[str]]]] = [[]]
    left = room
    for row in rows:
        for part in _parts(row, room):
            if _height(part) > left and pages[-1]:
                pages.append([])
                left = room
            pages[-1].append(part)
            left -= _height(part)
    return pages


def _parts(row: list[list[str]], room: float) -> list[list[list[str]]]:
    most = int((room - _GAP) / _LINE)
    deepest = max(1, *map(len, row))
    return [[cell[at : at + most] for cell in row] for at in range(0, deepest, most)]


def _draw_head(
    canvas: Canvas, what: ReachedSheet, paper: tuple[float, float], sheet: str, widths: Sequence[float]
) -> None:
    canvas.setFont(HEAVY, 5 * mm)
    canvas.drawString(_MARGIN * mm, (paper[1] - 11) * mm, what.title[:70])
    canvas.setFont(HEAVY, _SIZE * mm)
    canvas.drawString(_MARGIN * mm, (paper[1] - 16) * mm, what.words[:150])
    canvas.drawRightString((paper[0] - _MARGIN) * mm, (paper[1] - 11) * mm, sheet)
    left = _MARGIN
    for column, width in zip(COLUMNS, widths, strict=True):
        canvas.drawString(left * mm, (paper[1] - 22) * mm, column.heading)
        left += width
    canvas.setLineWidth(0.5 * mm)
    canvas.line(_MARGIN * mm, (paper[1] - 24) * mm, (paper[0] - _MARGIN) * mm, (paper[1] - 24) * mm)


def _draw_row(
    canvas: Canvas, row: Sequence[Sequence[str]], widths: Sequence[float], high: float, top: float
) -> float:
    left, bottom = _MARGIN, top + _height(row)
    for cell, width in zip(row, widths, strict=True):
        for nth, line in enumerate(cell, start=1):
            canvas.drawString(left * mm, (high - top - nth * _LINE) * mm, line)
        left += width
    canvas.setLineWidth(0.15 * mm)
    canvas.line(_MARGIN * mm, (high - bottom) * mm, left * mm, (high - bottom) * mm)
    return bottom
