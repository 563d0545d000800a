import random
import re
import subprocess
from pathlib import Path

import pytest
from PIL import Image

from app.core.tags import draw_code
from app.paper.grids import label_grids
from app.paper.tag_sheet import draw_tag_sheet

GRIDS = list(label_grids().values())


def drawn(count: int) -> list[str]:
    chance = random.Random(count)  # noqa: S311  # a test's draw is repeatable
    return [draw_code(chance.choice) for _ in range(count)]


def rasterised(pdf: bytes, folder: Path, dpi: int, colours: str) -> list[Image.Image]:
    (folder / "sheet.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(dpi), colours, folder / "sheet.pdf", folder / "page"], check=True)
    return [Image.open(page).convert("L") for page in sorted(folder.glob("page*"))]


def test_the_scale_bar_is_100_mm_long(tmp_path: Path) -> None:
    pdf = draw_tag_sheet(drawn(1), grid=GRIDS[0], halves=False, name="garage", port=8765)
    [page] = rasterised(pdf, tmp_path, 254, "-mono")
    bar = page.crop((0, page.height - 100, page.width, page.height - 84)).tobytes()
    longest = max(len(stroke) for stroke in re.findall(rb"\x00+", bar))
    assert longest == pytest.approx(1000, abs=4)
