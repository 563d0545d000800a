"""One printed tag: two cut corners, a reinforced hole, the half's letter, the code, the square.

Lengths are in mm; a thing's place is its lower left corner, measured from the tag's.
"""

from dataclasses import dataclass, replace

from app.core.tags import CODE_LENGTH
from app.paper.fonts import ADVANCE, CAPITALS
from app.paper.qr import square_mm, too_small

# Printers drift by up to 0.8 mm; the outline stays on the label then.
_INSET = 1.5
CUT = 3.5
_RING = 5.0
_GAP = 1.4
_LARGEST_CODE = 8.4
_LARGEST_BLOCK = 12.0
_CODE_BASE = _INSET + CUT + 0.2
_CODE_WIDTH = (CODE_LENGTH + 1) * ADVANCE


@dataclass(frozen=True, slots=True)
class Box:
    """Where a thing stands on its tag: left and bottom edge, width and height, [mm]."""

    left: float
    bottom: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class TagLayout:
    """The places of one tag's parts.

    Args:
        outline: The tag's edge.
        ring: The reinforced hole.
        block: The half's letter, or on a tag without halves the room for a handwritten number.
        code: The code's capitals; their height tells the size.
        square: The scannable square without its blank border; None on a tag of text only.
    """

    outline: Box
    ring: Box
    block: Box
    code: Box
    square: Box | None


def tag_layout(width: float, height: float, modules: int, dpi: int, half: str | None) -> TagLayout:
    """Return where the parts of a tag stand: hole, words, square from left to right.

    Args:
        width: The label, or the half of one that the tag has for itself.
        height: The same.
        modules: The square's side without border, [modules].
        dpi: The printer's dots to the inch.
        half: The half's letter; B goes from right to left, to face its A across the cut.
    """
    if too_small(modules, width, height, dpi):
        layout = _text_only(width, height)
    else:
        layout = _with_square(width, height, modules, dpi)
    if half is None:
        layout = replace(layout, block=_widened(layout))
    return _mirror(layout, width) if half == "B" else layout


def _with_square(width: float, height: float, modules: int, dpi: int) -> TagLayout:
    side, bordered = square_mm(modules, dpi, quiet=False), square_mm(modules, dpi, quiet=True)
    inset, quiet = min(_INSET, (height - bordered) / 2), (bordered - side) / 2
    words = width - inset - bordered
    code_width = min(words - _INSET - _GAP, _LARGEST_CODE * _CODE_WIDTH)
    code_height = code_width / _CODE_WIDTH * CAPITALS
    above = _CODE_BASE + code_height + _GAP
    block = min(_LARGEST_BLOCK, height - _INSET - _GAP - above)
    return TagLayout(
        outline=Box(inset, inset, width - 2 * inset, height - 2 * inset),
        ring=Box(_INSET + _GAP, above + (block - _RING) / 2, _RING, _RING),
        block=Box(words - block, above, block, block),
        code=Box(words - code_width, _CODE_BASE, code_width, code_height),
        square=Box(width - inset - quiet - side, (height - side) / 2, side, side),
    )


def _text_only(width: float, height: float) -> TagLayout:
    block = min(_LARGEST_BLOCK, height - 2 * _INSET - _GAP)
    left = _INSET + _RING + 2 * _GAP
    right = width - _INSET - block - 2 * _GAP
    code_width = min(right - left, _LARGEST_CODE * _CODE_WIDTH)
    code_height = code_width / _CODE_WIDTH * CAPITALS
    return TagLayout(
        outline=Box(_INSET, _INSET, width - 2 * _INSET, height - 2 * _INSET),
        ring=Box(_INSET + _GAP, (height - _RING) / 2, _RING, _RING),
        block=Box(right + _GAP, (height - block) / 2, block, block),
        code=Box(left, (height - code_height) / 2, code_width, code_height),
        square=None,
    )


def _widened(layout: TagLayout) -> Box:
    """A number of three figures needs more room than one letter."""
    block, right = layout.block, layout.block.left + layout.block.width
    left = max(layout.ring.left + _RING + _GAP, layout.code.left) if layout.square else block.left
    return replace(block, left=left, width=right - left)


def _mirror(layout: TagLayout, width: float) -> TagLayout:
    def turned(box: Box) -> Box:
        return replace(box, left=width - box.left - box.width)

    return TagLayout(
        outline=turned(layout.outline),
        ring=turned(layout.ring),
        block=turned(layout.block),
        code=turned(layout.code),
        square=turned(layout.square) if layout.square else None,
    )
