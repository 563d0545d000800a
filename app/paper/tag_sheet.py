"""Sheets of blank tags as PDF: as many codes to a sheet as the labels allow, singly or in halves."""

import io
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from app.core.tags import is_code, payload, shown
from app.paper.fonts import ADVANCE, CAPITALS, HEAVY, register_fonts
from app.paper.grids import Area, Grid, tag_areas
from app.paper.qr import dots_to_mm, module_mm, qr_matrix, runs
from app.paper.sheet_edge import draw_cut, draw_edge
from app.paper.tag import TagLayout, tag_layout
from app.paper.tag_form import define_form

_HEADINGS = {
    True: "Tags in halves: A on the one end, B on its mate",
    False: "Single tags: one for each thing",
}
_TEXT_ONLY = "Labels too small to scan: type the code."
_ADDRESS_SIZE = 1.75
_ADDRESS_BELOW = 2.5
# A page's marks blacken each dot that they touch; strokes this much short, [modules], touch no next one.
_HAIR = 0.02
_DASHES = (1.5 * mm, 1.5 * mm)


def draw_tag_sheet(
    codes: Sequence[str],
    *,
    grid: Grid,
    halves: bool,
    name: str,
    port: int,
    dpi: int = 300,
    first_sheet: int = 1,
) -> bytes:
    """Return a PDF with one tag, or one pair of halves, for each code; the same input gives the same bytes.

    Args:
        codes: Valid codes, in the order of the labels; at least one.
        grid: The label sheet, one of `label_grids()`.
        halves: Whether each code is printed as A and B, side by side.
        name: The laptop's name without `.local`, at most 13 letters.
        port: 1 to 65535.
        dpi: The printer's dots to the inch, 150 to 2400; the squares are drawn on whole dots.
        first_sheet: The number printed on the first sheet; the next ones count on.

    Raises:
        ValueError: No code, a code that fails its check or stands there twice, or a wrong name or port.
    """
    if not codes or len(set(codes)) < len(codes) or not all(map(is_code, codes)):
        raise ValueError("a sheet of tags needs valid codes, each once")
    register_fonts()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(grid.sheet_width_mm * mm, grid.sheet_height_mm * mm), invariant=1)
    canvas.setTitle("Blank tags")
    job = _Job(grid, ("A", "B") if halves else (None,), name, port, dpi)
    areas = tag_areas(grid, halves=halves)
    layouts = _define_layouts(canvas, job, areas[0], codes[0])
    for at in range(0, len(codes), len(areas)):
        _draw_page(canvas, job, layouts, codes[at : at + len(areas)], areas, first_sheet + at // len(areas))
    canvas.save()
    return out.getvalue()


@dataclass(frozen=True, slots=True)
class _Job:
    grid: Grid
    halves: tuple[str | None, ...]
    name: str
    port: int
    dpi: int


def _define_layouts(canvas: Canvas, job: _Job, areas: Sequence[Area], code: str) -> list[TagLayout]:
    layouts = []
    for half, area in zip(job.halves, areas, strict=True):
        modules = len(qr_matrix(payload(job.name, job.port, code, half)))
        layout = tag_layout(area.width, area.height, modules, job.dpi, half)
        define_form(canvas, _form(half), layout, half)
        layouts.append(layout)
    return layouts


def _draw_page(
    canvas: Canvas,
    job: _Job,
    layouts: Sequence[TagLayout],
    codes: Sequence[str],
    places: Sequence[Sequence[Area]],
    number: int,
) -> None:
    note = "" if layouts[0].square else _TEXT_ONLY
    draw_edge(canvas, job.grid, heading=_HEADINGS[len(job.halves) > 1], number=number, note=note)
    canvas.setDash(*_DASHES)
    for areas in places[: len(codes)]:
        draw_cut(canvas, areas, job.grid.sheet_height_mm)
    canvas.setDash()
    for code, areas in zip(codes, places, strict=False):
        for half, area, layout in zip(job.halves, areas, layouts, strict=True):
            _draw_tag(canvas, job, layout, area, (code, half))
    canvas.showPage()


def _draw_tag(
    canvas: Canvas, job: _Job, layout: TagLayout, area: Area, address: tuple[str, str | None]
) -> None:
    code, half = address
    canvas.saveState()
    canvas.translate(area.left * mm, (job.grid.sheet_height_mm - area.top - area.height) * mm)
    canvas.doForm(_form(half))
    canvas.setFont(HEAVY, layout.code.height / CAPITALS * mm)
    canvas.drawString(layout.code.left * mm, layout.code.bottom * mm, shown(code))
    if layout.square:
        _draw_host(canvas, layout, f"{job.name.lower()}.local:{job.port}")
    canvas.restoreState()
    if layout.square:
        left = area.left + layout.square.left
        top = area.top + area.height - layout.square.bottom - layout.square.height
        _draw_square(canvas, payload(job.name, job.port, code, half), (left, top), job)


def _draw_host(canvas: Canvas, layout: TagLayout, host: str) -> None:
    """Where the code can be typed, should no camera read it."""
    size = min(_ADDRESS_SIZE, layout.code.width / (len(host) * ADVANCE))
    canvas.setFont(HEAVY, size * mm)
    middle = layout.code.left + layout.code.width / 2
    canvas.drawCentredString(middle * mm, (layout.code.bottom - _ADDRESS_BELOW) * mm, host)


def _draw_square(canvas: Canvas, text: str, corner: tuple[float, float], job: _Job) -> None:
    """Draw one path of strokes, counted in modules, its upper left corner on a whole dot of the printer."""
    module = module_mm(job.dpi)
    dot = dots_to_mm(1, job.dpi)
    left, top = (round(place / dot) * dot + module * _HAIR / 2 for place in corner)
    path = canvas.beginPath()
    for row, column, length in runs(qr_matrix(text)):
        path.rect(column, row, length - _HAIR, 1 - _HAIR)
    canvas.saveState()
    canvas.transform(module * mm, 0, 0, -module * mm, left * mm, (job.grid.sheet_height_mm - top) * mm)
    canvas.drawPath(path, stroke=0, fill=1)
    canvas.restoreState()


def _form(half: str | None) -> str:
    return f"tag{half or ''}"
