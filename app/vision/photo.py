"""Opening an uploaded photo: once, upright, within limits, and with a sentence for each that cannot be."""

import io
import struct
from dataclasses import dataclass

from PIL import ExifTags, Image

from app.core.problem import Problem

# Phones' 50 megapixel modes pass; a picture in memory takes three bytes for each pixel.
MAX_PIXELS = 64_000_000

_FORMATS = ("JPEG", "PNG", "WEBP")
_STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF")
# Brands in the first box of HEIF and AVIF files. Source: ISO/IEC 23008-12, annex B, from memory.
_HEIF_BRANDS = frozenset(
    (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis")
)
# Source: Exif 2.3, tag 274.
_STEPS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
# What the decoders let out on damaged files.
_BROKEN = (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, struct.error)
# The first is a warning only, except where warnings are errors.
_BOMBS = (Image.DecompressionBombWarning, Image.DecompressionBombError)


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo in memory, turned upright, without anything but its pixels.

    Args:
        image: RGB; transparent parts are white.
    """

    image: Image.Image


def open_photo(data: bytes) -> Photo | Problem:
    """Return the photo in `data`, a whole JPEG, PNG or WebP file, or what is wrong with it.

    Problems: `photo-empty`, `photo-heic`, `photo-not-one`, `photo-too-large`, `photo-broken`.
    """
    if not data:
        return _refused("photo-empty", "The photo arrived empty. Take or choose it again.")
    if data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS:
        return _refused(
            "photo-heic",
            "This photo is stored as HEIC or AVIF, which cannot be read here. Set the phone's camera to JPEG "
            "(on iPhones: Settings, Camera, Formats, Most Compatible), or send it as JPEG.",
        )
    if not data.startswith(_STARTS):
        return _refused("photo-not-one", "This file is not a photo. JPEG, PNG and WebP can be read.")
    try:
        return _open(data)
    except _BOMBS:
        return _too_large("more megapixels than any phone takes")
    except _BROKEN:
        return _refused("photo-broken", "The photo is damaged or only part of it arrived. Send it again.")


def _open(data: bytes) -> Photo | Problem:
    with Image.open(io.BytesIO(data), formats=_FORMATS) as image:
        pixels = image.width * image.height
        if pixels > MAX_PIXELS:
            return _too_large(f"{pixels / 1e6:.0f} megapixels")
        return Photo(_upright(_flat(image), _orientation(image)))


def _orientation(image: Image.Image) -> object:
    """Return how the camera was held; a damaged note of it is none, for the pixels are whole."""
    try:
        return image.getexif().get(ExifTags.Base.Orientation)
    except _BROKEN:
        return None


def _upright(image: Image.Image, orientation: object) -> Image.Image:
    step = next((step for value, step in _STEPS.items() if value == orientation), None)
    return image if step is None else image.transpose(step)


def _flat(image: Image.Image) -> Image.Image:
    """Copy the pixels alone; whatever else the file carried stays behind."""
    flat = Image.new("RGB", image.size, "white")
    if image.has_transparency_data:
        layer = image.convert("RGBA")
        flat.paste(layer, mask=layer)
    else:
        flat.paste(image.convert("RGB"))
    return flat


def _too_large(size: str) -> Problem:
    limit = MAX_PIXELS // 1_000_000
    message = f"This photo has {size}; {limit} is the most. Set the camera to a smaller size and retake it."
    return _refused("photo-too-large", message)


def _refused(code: str, message: str) -> Problem:
    return Problem(code, message, "photo")
