import random
import subprocess
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from app.core.tags import draw_code
from app.paper.grids import Grid, label_grids, tag_areas
from app.paper.tag import tag_layout
from app.paper.tag_sheet import draw_tag_sheet

GRIDS = list(label_grids().values())


def drawn(count: int) -> list[str]:
    chance = random.Random(count)  # noqa: S311  # a test's draw is repeatable
    return [draw_code(chance.choice) for _ in range(count)]


def rasterised(pdf: bytes, folder: Path, dpi: int, colours: str) -> list[Image.Image]:
    (folder / "sheet.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(dpi), colours, folder / "sheet.pdf", folder / "page"], check=True)
    return [Image.open(page).convert("L") for page in sorted(folder.glob("page*"))]


def scanned(page: Image.Image) -> list[zxingcpp.Barcode]:
    return list(zxingcpp.read_barcodes(page))


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.name)
def test_each_half_carries_the_letter_that_its_square_says(grid: Grid, tmp_path: Path) -> None:
    """A is white in a black block, B black in a frame: told apart by how much of the block is black."""
    pdf = draw_tag_sheet(drawn(20), grid=grid, halves=True, name="garage", port=8765)
    [page] = rasterised(pdf, tmp_path, 300, "-gray")
    dots = 300 / 25.4
    for square in scanned(page):
        end = square.text[-1]
        place = square.position.top_left
        [area] = [
            area
            for areas in tag_areas(grid, halves=True)
            for area in areas
            if area.left < place.x / dots < area.right and area.top < place.y / dots < area.top + area.height
        ]
        block = tag_layout(area.width, area.height, 29, 300, end).block
        left, top = (
            (area.left + block.left) * dots,
            (area.top + area.height - block.bottom - block.height) * dots,
        )
        picture = page.crop(
            (round(left), round(top), round(left + block.width * dots), round(top + block.height * dots))
        )
        black = picture.histogram()[0] / (picture.width * picture.height)
        assert (0.6 < black < 0.95) if end == "A" else (0.3 < black < 0.6)
