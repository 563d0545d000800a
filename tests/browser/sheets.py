"""A printed sheet, rasterised and decoded as a phone would, and photographs with its tags in them."""

import subprocess
from dataclasses import dataclass
from pathlib import Path

import zxingcpp
from PIL import Image

from tests.vision.composed import DPI, engine_bay, paste_tilted, photographed

_QUIET_SHARE = 4 / 29
"""A square's quiet zone beside its 29 modules."""


@dataclass(frozen=True, slots=True)
class PrintedTag:
    """A tag as its square says, and its square cut from the sheet."""

    address: str
    picture: Image.Image

    @property
    def code(self) -> str:
        """The code, as a person would type it."""
        return self.address.split("/T/")[1].split("/")[0]

    @property
    def half(self) -> str:
        """The half's letter."""
        return self.address.rpartition("/")[2]


def tags_on(pdf: bytes, folder: Path) -> list[PrintedTag]:
    """Rasterise a sheet and read every square on it, half A before half B, in reading order."""
    (folder / "sheet.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-gray", "-r", str(DPI), str(folder / "sheet.pdf"), str(folder / "sheet")]
    subprocess.run(command, check=True)
    tags = []
    for path in sorted(folder.glob("sheet-*.pgm")):
        with Image.open(path) as sheet:
            sheet.load()
            tags += [PrintedTag(*found) for found in _read(sheet)]
    return tags


def _read(sheet: Image.Image) -> list[tuple[str, Image.Image]]:
    found = zxingcpp.read_barcodes(
        sheet, formats=zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCodeModel2])
    )
    return [(each.text, _cut(sheet, each.position)) for each in found]


def _cut(sheet: Image.Image, position: zxingcpp.Position) -> Image.Image:
    corners = (position.top_left, position.top_right, position.bottom_right, position.bottom_left)
    left, right = min(c.x for c in corners), max(c.x for c in corners)
    top, bottom = min(c.y for c in corners), max(c.y for c in corners)
    quiet = round((right - left) * _QUIET_SHARE)
    return sheet.crop((left - quiet, top - quiet, right + quiet, bottom + quiet))


def photo_of(tag: PrintedTag, *, seed: int) -> bytes:
    """Return a photograph of an engine bay with the tag stuck somewhere in it, a little askew."""
    picture = engine_bay(1600, 1200)
    at = (300 + 130 * (seed % 6), 200 + 110 * (seed % 5))
    paste_tilted(picture, tag.picture, at, 5.5, turn=(-20, 15, -8, 24, 5, -14)[seed % 6])
    return photographed(picture, blur=0.6, noise=4, seed=seed)
