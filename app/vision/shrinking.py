"""Making the stored picture of a photo: smaller, upright, free of place and other hidden data."""

import hashlib
import io
from dataclasses import dataclass

from PIL import Image

from app.core.problem import Problem
from app.vision.photo import Photo, open_photo

_QUALITY, _QUALITY_SMALL = 85, 78


@dataclass(frozen=True, slots=True)
class Picture:
    """A JPEG to keep.

    Args:
        jpeg: The file's bytes, without EXIF, place, XMP or comment.
        width: [pixels].
        height: [pixels].
        sha256: Of `jpeg`, 64 hexadecimal digits in lower case.
    """

    jpeg: bytes
    width: int
    height: int
    sha256: str


def shrink(photo: bytes | Photo, longest: int = 2000) -> Picture | Problem:
    """Return a photo as a JPEG to keep; the same bytes give the same picture.

    Args:
        photo: A file's bytes, or what `open_photo` made of them.
        longest: The longer side at most, [pixels]; smaller photos keep their size.

    Returns:
        The picture, or a Problem of `open_photo`.
    """
    opened = open_photo(photo) if isinstance(photo, bytes) else photo
    if isinstance(opened, Problem):
        return opened
    image = _fitted(opened.image, longest)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=_QUALITY)
    jpeg = out.getvalue()
    return Picture(jpeg, image.width, image.height, hashlib.sha256(jpeg).hexdigest())


def rendition(jpeg: bytes, longest: int) -> bytes:
    """Return a kept picture smaller, for a row or a card.

    Args:
        jpeg: A picture that `shrink` made.
        longest: The longer side at most, [pixels].

    Raises:
        OSError: The bytes are no whole picture.
    """
    with Image.open(io.BytesIO(jpeg)) as image:
        image.draft("RGB", (longest, longest))  # the decoder leaves out what nobody will see
        out = io.BytesIO()
        _fitted(image.convert("RGB"), longest).save(out, "JPEG", quality=_QUALITY_SMALL, optimize=True)
    return out.getvalue()


def _fitted(image: Image.Image, longest: int) -> Image.Image:
    scale = longest / max(image.size)
    if scale >= 1:
        return image
    size = (max(1, round(image.width * scale)), max(1, round(image.height * scale)))
    return image.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)
