"""Composed photographs: printed tags pasted in perspective on a drawn, noisy background."""

import io
import random
import subprocess
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter

from app.core.tags import draw_code
from app.paper.grids import Area, Grid, label_grids, tag_areas
from app.paper.tag_sheet import draw_tag_sheet

ORIENTATION, MAKE, GPS = 0x0112, 0x010F, 0x8825
# How a camera held so has stored an upright picture.
AS_STORED = {
    1: None,
    3: Image.Transpose.ROTATE_180,
    6: Image.Transpose.ROTATE_90,
    8: Image.Transpose.ROTATE_270,
}
DPI = 300


def drawn(count: int) -> list[str]:
    chance = random.Random(count)  # noqa: S311  # a test's draw is repeatable
    return [draw_code(chance.choice) for _ in range(count)]


def printed(codes: list[str], folder: Path) -> list[tuple[Image.Image, Image.Image]]:
    """Return the halves A and B of each code, cut from a rasterised sheet."""
    grid: Grid = label_grids()["a4-40"]
    (folder / "sheet.pdf").write_bytes(
        draw_tag_sheet(codes, grid=grid, halves=True, name="garage", port=8765)
    )
    command = ["pdftoppm", "-gray", "-r", str(DPI), str(folder / "sheet.pdf"), str(folder / "sheet")]
    subprocess.run(command, check=True)
    sheet = Image.open(next(folder.glob("sheet-*.pgm")))

    def cut(area: Area) -> Image.Image:
        box = (area.left, area.top, area.right, area.top + area.height)
        left, top, right, bottom = (round(length * DPI / 25.4) for length in box)
        return sheet.crop((left, top, right, bottom))

    pairs = tag_areas(grid, halves=True)[: len(codes)]
    return [(cut(half_a), cut(half_b)) for half_a, half_b in pairs]


def engine_bay(width: int, height: int) -> Image.Image:
    """Return a dark, cluttered, uneven background."""
    chance = random.Random(width)  # noqa: S311  # a test's background is repeatable
    picture = Image.linear_gradient("L").resize((width, height)).point(lambda grey: 40 + grey // 3)
    pen = ImageDraw.Draw(picture)
    for _ in range(60):
        x, y, size = chance.randrange(width), chance.randrange(height), chance.randrange(30, 300)
        pen.ellipse(
            (x, y, x + size, y + size // 2), outline=chance.randrange(255), width=chance.randrange(2, 14)
        )
        pen.line(
            (x, y, chance.randrange(width), y + size),
            fill=chance.randrange(200),
            width=chance.randrange(2, 20),
        )
    return picture


def paste_tilted(
    picture: Image.Image, tag: Image.Image, at: tuple[int, int], px_per_module: float, turn: float
) -> None:
    """Paste a tag turned by `turn` degrees and tilted away, its squares at about `px_per_module`."""
    scale = px_per_module / (0.508 * DPI / 25.4)
    size = (round(tag.width * scale), round(tag.height * scale))
    small = tag.resize(size, Image.Resampling.LANCZOS)
    lean = 0.08 / size[1]
    tilted = small.transform(
        size,
        Image.Transform.PERSPECTIVE,
        (1, 0.05, 0, 0.02, 1, 0, 0, lean),
        Image.Resampling.BICUBIC,
        fillcolor=90,
    )
    turned = tilted.rotate(turn, Image.Resampling.BICUBIC, expand=True)
    mask = Image.new("L", size, 255).rotate(turn, expand=True)
    picture.paste(turned, at, mask)


def photographed(
    picture: Image.Image, *, blur: float = 0.8, noise: int = 6, orientation: int = 1, seed: int = 1
) -> bytes:
    """Return a JPEG as a phone makes it: blurred, noisy, stored on its side, with its place and maker."""
    blurred = picture.filter(ImageFilter.GaussianBlur(blur))
    chance = random.Random(seed)  # noqa: S311  # a test's noise is repeatable
    grain = Image.frombytes(
        "L", (512, 512), bytes(max(0, min(255, round(chance.gauss(128, 40)))) for _ in range(512 * 512))
    )
    full = Image.new("L", blurred.size)
    for x in range(0, full.width, 512):
        for y in range(0, full.height, 512):
            full.paste(grain, (x, y))
    noisy = Image.blend(blurred, full, noise / 40 / (1 + noise / 40))
    step = AS_STORED[orientation]
    stored = (noisy.transpose(step) if step is not None else noisy).convert("RGB")
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[MAKE] = "an invented camera"
    exif.get_ifd(GPS).update({1: "N", 2: (12.0, 34.0, 56.0), 3: "E", 4: (65.0, 43.0, 21.0)})
    out = io.BytesIO()
    stored.save(
        out, "JPEG", quality=88, exif=exif, comment=b"where it was taken", xmp=b"<x:xmpmeta>place</x:xmpmeta>"
    )
    return out.getvalue()
