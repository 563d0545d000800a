"""The demo's photos: drawn, not taken. A connector, a group of bolts or a hose, with its tag in the frame."""

import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

from PIL import Image, ImageDraw, ImageFont
from qrcode.constants import ERROR_CORRECT_Q
from qrcode.main import QRCode

from app.core.tags import payload, shown
from app.store.db.files import bundled

WIDTH, HEIGHT = 1024, 768
"""[pixels]"""

_QUALITY = 80
_BACKGROUNDS = ("#39424a", "#4a4239", "#3a4a41", "#453d4b")
_STEEL, _DARK, _SHADE, _ACCENT, _PAPER = "#b9c0c4", "#22272b", "#6d757b", "#d98324", "#f4efe2"
_CARD = (620, 420, 990, 734)
_MODULE = 7
# A fixed mask is drawn eight times as fast as the search for the best one, and is read as well.
_MASK = 3


@dataclass(frozen=True, slots=True)
class TagCard:
    """What stands on the tag in the frame: where the square leads, and the code."""

    name: str
    port: int
    code: str


def draw_photo(subject: str, *, variety: int, words: str, card: TagCard | None = None) -> bytes:
    """Return a JPEG of `WIDTH` × `HEIGHT` pixels; the same arguments give the same bytes.

    Args:
        subject: One of `SUBJECTS`.
        variety: Any number from 0: background and count of what is drawn follow from it.
        words: Written along the upper edge, behind "drawn, not taken".
        card: The tag in the frame; `None` for a photo without one.
    """
    image = Image.new("RGB", (WIDTH, HEIGHT), _BACKGROUNDS[variety % len(_BACKGROUNDS)])
    pen = ImageDraw.Draw(image)
    SUBJECTS[subject](pen, variety)
    pen.text((24, 18), f"drawn, not taken: {words}"[:60], font=_font(24), fill=_PAPER)
    if card:
        _draw_card(image, pen, card)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=_QUALITY)
    return out.getvalue()


def _connector(pen: ImageDraw.ImageDraw, variety: int) -> None:
    """Two halves of a plug, pulled apart, with their wires."""
    ways = 2 + variety % 4
    tall = 60 + 44 * ways
    top = 384 - tall // 2
    for way in range(ways):
        y = top + 52 + 44 * way
        pen.line((0, y, 180, y), fill=(_ACCENT, _STEEL, _SHADE)[way % 3], width=14)
        pen.line((520, y, 620, y), fill=_STEEL, width=10)
    pen.rounded_rectangle((170, top, 400, top + tall), 18, fill=_DARK, outline=_STEEL, width=5)
    pen.rounded_rectangle((230, top - 34, 350, top + 6), 8, fill=_ACCENT)
    pen.rounded_rectangle((460, top + 14, 560, top + tall - 14), 12, fill=_SHADE, outline=_DARK, width=5)


def _bolts(pen: ImageDraw.ImageDraw, variety: int) -> None:
    """A flange with bolts in a row or two; one hole is empty."""
    columns = 3 + variety % 2
    pen.rounded_rectangle((60, 130, 600, 640), 60, fill=_SHADE, outline=_DARK, width=6)
    pen.ellipse((240, 290, 420, 480), fill=_DARK)
    for row, y in enumerate((210, 560)):
        for column in range(columns):
            x = 130 + column * 400 // (columns - 1)
            empty = row == 1 and column == variety % columns
            pen.regular_polygon((x, y, 46), 6, fill=_DARK if empty else _STEEL, outline=_DARK, width=5)
            if not empty:
                pen.ellipse((x - 26, y - 26, x + 26, y + 26), outline=_SHADE, width=6)


def _hose(pen: ImageDraw.ImageDraw, variety: int) -> None:
    """A bent hose with its clamp beside the stub it came off."""
    bend = 200 + 30 * (variety % 4)
    pen.rectangle((70, 170, 120, 330), fill=_SHADE, outline=_DARK, width=5)
    pen.rectangle((120, 205, 250, 295), fill=_STEEL, outline=_DARK, width=5)
    pen.arc((120, bend, 620, bend + 420), 180, 300, fill=_DARK, width=86)
    pen.rectangle((108, bend + 190, 218, bend + 232), fill=_ACCENT, outline=_DARK, width=4)
    pen.rectangle((98, bend + 196, 112, bend + 226), fill=_STEEL)


SUBJECTS: Mapping[str, Callable[[ImageDraw.ImageDraw, int], None]] = {
    "connector": _connector,
    "bolts": _bolts,
    "hose": _hose,
}
"""What can be drawn, and how."""


def _draw_card(image: Image.Image, pen: ImageDraw.ImageDraw, card: TagCard) -> None:
    left, top, right, bottom = _CARD
    pen.rectangle((left + 8, top + 8, right + 8, bottom + 8), fill=_DARK)
    pen.rectangle(_CARD, fill="white")
    square = _square(payload(card.name, card.port, card.code, "A"))
    image.paste(square, (left + (right - left - square.width) // 2, top))
    pen.text(((left + right) // 2, bottom - 26), shown(card.code), font=_font(46), fill="black", anchor="mm")


def _square(text: str) -> Image.Image:
    code = QRCode(error_correction=ERROR_CORRECT_Q, border=4, mask_pattern=_MASK)
    code.add_data(text)
    rows = code.get_matrix()
    small = Image.new("L", (len(rows), len(rows)))
    small.putdata([0 if black else 255 for row in rows for black in row])
    return small.resize((len(rows) * _MODULE, len(rows) * _MODULE), Image.Resampling.NEAREST)


@cache
def _font(size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(bundled("static") / "fonts" / "DejaVuSansMono-Bold.ttf", size)
