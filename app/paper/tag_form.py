"""What is alike on all tags of a sheet: outline, hole and half letter, kept once in the PDF."""

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from app.paper.fonts import CAPITALS, HEAVY
from app.paper.tag import CUT, Box, TagLayout

_LINE = 0.3
_HEAVY_LINE = 1.0
_CAPTION = 2.0
_CORNER = 1.2
_HOLE_SHARE = 0.5


def define_form(canvas: Canvas, name: str, layout: TagLayout, half: str | None) -> None:
    """Keep the unchanging part of a tag in the PDF as `name`; its origin is the tag's lower left corner."""
    canvas.beginForm(name)
    canvas.setLineWidth(_LINE * mm)
    _draw_outline(canvas, layout)
    _draw_ring(canvas, layout.ring)
    if half:
        _draw_half(canvas, layout.block, half)
    else:
        _draw_number_box(canvas, layout.block)
    canvas.endForm()


def _draw_outline(canvas: Canvas, layout: TagLayout) -> None:
    box, end = layout.outline, layout.outline.left + layout.outline.width
    mirrored = layout.ring.left > box.left + box.width / 2
    # From the corner away from the hole, round by the two cut ones.
    far, near, inwards = (box.left, end, -CUT) if mirrored else (end, box.left, CUT)
    top = box.bottom + box.height
    corners = (
        (far, top),
        (near + inwards, top),
        (near, top - CUT),
        (near, box.bottom + CUT),
        (near + inwards, box.bottom),
        (far, box.bottom),
    )
    path = canvas.beginPath()
    path.moveTo(corners[0][0] * mm, corners[0][1] * mm)
    for x, y in corners[1:]:
        path.lineTo(x * mm, y * mm)
    path.close()
    canvas.drawPath(path)


def _draw_ring(canvas: Canvas, box: Box) -> None:
    x, y, radius = (box.left + box.width / 2) * mm, (box.bottom + box.height / 2) * mm, box.width / 2 * mm
    canvas.circle(x, y, radius)
    canvas.circle(x, y, radius * _HOLE_SHARE)


def _draw_half(canvas: Canvas, box: Box, half: str) -> None:
    """A is white on black and the others black in a heavy frame: the halves differ without being read."""
    canvas.saveState()
    canvas.setLineWidth(_HEAVY_LINE * mm)
    edge = _HEAVY_LINE / 2
    side = (box.width - _HEAVY_LINE) * mm
    canvas.roundRect(
        (box.left + edge) * mm, (box.bottom + edge) * mm, side, side, _CORNER * mm, fill=half == "A"
    )
    canvas.setFillGray(1 if half == "A" else 0)
    capital = box.height * 0.62
    canvas.setFont(HEAVY, capital / CAPITALS * mm)
    canvas.drawCentredString(
        (box.left + box.width / 2) * mm, (box.bottom + (box.height - capital) / 2) * mm, half
    )
    canvas.restoreState()


def _draw_number_box(canvas: Canvas, box: Box) -> None:
    """Room for the running number, written with a marker."""
    canvas.roundRect(box.left * mm, box.bottom * mm, box.width * mm, box.height * mm, _CORNER * mm)
    canvas.setFont(HEAVY, _CAPTION * mm)
    canvas.drawString((box.left + 0.8) * mm, (box.bottom + box.height - _CAPTION - 0.2) * mm, "No.")
