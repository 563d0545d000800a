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
