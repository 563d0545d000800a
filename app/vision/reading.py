"""Finding the tags in a photo."""

from collections.abc import Iterator
from dataclasses import dataclass

import zxingcpp
from PIL import Image, ImageFilter

from app.core.problem import Problem
from app.core.tags import Address, read_payload
from app.vision.photo import Photo, open_photo

# `QRCode` would be the whole family, whose smallest members are seen where there are none.
_FORMATS = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCodeModel2])
# Twice enlarged, three pixels to a module are read nearly as well as six; above this size a photo is
# sharp enough without, and would take too much memory, [pixels].
_ENLARGE_UP_TO = 26_000_000
# Three pixels in the enlarged picture, where the setting was tried.
_SHARPEN = ImageFilter.UnsharpMask(radius=1.5, percent=150, threshold=0)

Corner = tuple[float, float]
Corners = tuple[Corner, Corner, Corner, Corner]


@dataclass(frozen=True, slots=True)
class SeenTag:
    """One tag in a photo.

    Args:
        code: Seven symbols that pass their check.
        half: One letter, or None on a tag without halves.
        corners: The square's own upper left, upper right, lower right, lower left corner, [pixels]
            from the upper left of the upright photo.
    """

    code: str
    half: str | None
    corners: Corners


@dataclass(frozen=True, slots=True)
class PhotoTags:
    """What was read in a photo.

    Args:
        tags: Each code and half once, the largest, which is mostly the nearest, first.
        foreign: How many different squares were read that are no tags.
        width: Of the upright photo, [pixels].
        height: The same.
    """

    tags: tuple[SeenTag, ...]
    foreign: int
    width: int
    height: int


def read_tags(photo: bytes | Photo) -> PhotoTags | Problem:
    """Return the tags in a photo, or a Problem of `open_photo`.

    Args:
        photo: A file's bytes at full size (shrinking loses tags), or what `open_photo` made of them.
    """
    opened = open_photo(photo) if isinstance(photo, bytes) else photo
    if isinstance(opened, Problem):
        return opened
    seen: dict[Address, Corners] = {}
    foreign: set[str] = set()
    for image, scale in _stages(opened.image.convert("L")):
        before = len(seen)
        for square in zxingcpp.read_barcodes(image, formats=_FORMATS):
            address = read_payload(square.text)
            if address:
                seen.setdefault(address, _corners(square.position, scale))
            else:
                foreign.add(square.text)
        if 0 < before == len(seen):
            break
    tags = (SeenTag(address.code, address.half, corners) for address, corners in seen.items())
    nearest_first = sorted(tags, key=lambda tag: -_area(tag.corners))
    return PhotoTags(tuple(nearest_first), len(foreign), *opened.image.size)


def _stages(grey: Image.Image) -> Iterator[tuple[Image.Image, int]]:
    """Yield the photo in ever more costly preparations, with the scale of each."""
    yield grey, 1
    if grey.width * grey.height <= _ENLARGE_UP_TO:
        yield _enlarged(grey), 2
        yield _enlarged(grey.filter(_SHARPEN)), 2
    else:
        yield grey.filter(_SHARPEN), 1


def _enlarged(image: Image.Image) -> Image.Image:
    return image.resize((image.width * 2, image.height * 2), Image.Resampling.BICUBIC)


def _corners(position: zxingcpp.Position, scale: int) -> Corners:
    points = (position.top_left, position.top_right, position.bottom_right, position.bottom_left)
    first, second, third, fourth = ((point.x / scale, point.y / scale) for point in points)
    return first, second, third, fourth


def _area(corners: Corners) -> float:
    """Twice the area is enough to compare by, [pixels²]; the shoelace formula."""
    following = (*corners[1:], corners[0])
    return abs(sum(x * below - right * y for (x, y), (right, below) in zip(corners, following, strict=True)))
