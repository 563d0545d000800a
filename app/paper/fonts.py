"""The typeface of everything printed: wide open figures that are not taken for one another."""

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from app.store.db.files import bundled

HEAVY = "PutbackMono-Bold"
# Width of each sign and height of capitals, in units of the size. Source: the font's own tables.
ADVANCE = 0.602
CAPITALS = 0.729


def register_fonts() -> None:
    """Make the typeface known to the PDF library; sheets embed the part of it that they use."""
    if HEAVY not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(HEAVY, bundled("static") / "fonts" / "DejaVuSansMono-Bold.ttf"))


def fitting(text: str, width_mm: float, size_mm: float) -> list[str]:
    """Break a text into lines, between words where that can be; no sign is lost.

    Args:
        text: What is printed.
        width_mm: The room of a line, [mm].
        size_mm: The size of the typeface, [mm].
    """
    most = max(1, int(width_mm / (size_mm * ADVANCE)))
    lines: list[str] = []
    rest = " ".join(text.split())
    while len(rest) > most:
        cut = rest.rfind(" ", 0, most + 1)
        end = cut if cut > 0 else most
        lines.append(rest[:end])
        rest = rest[end:].lstrip()
    return [*lines, rest]
