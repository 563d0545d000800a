import random
import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from app.core.tags import draw_code, payload, shown
from app.paper.grids import Grid, label_grids, tag_areas
from app.paper.tag_sheet import draw_tag_sheet

GRIDS = list(label_grids().values())


def drawn(count: int) -> list[str]:
    chance = random.Random(count)  # noqa: S311  # a test's draw is repeatable
    return [draw_code(chance.choice) for _ in range(count)]


def rasterised(pdf: bytes, folder: Path, dpi: int, colours: str) -> list[Image.Image]:
    (folder / "sheet.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(dpi), colours, folder / "sheet.pdf", folder / "page"], check=True)
    return [Image.open(page).convert("L") for page in sorted(folder.glob("page*"))]


def text_of(pdf: bytes, folder: Path) -> str:
    (folder / "sheet.pdf").write_bytes(pdf)
    command = ["pdftotext", "-layout", str(folder / "sheet.pdf"), "-"]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def scanned(page: Image.Image) -> list[zxingcpp.Barcode]:
    return list(zxingcpp.read_barcodes(page))


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.name)
@pytest.mark.parametrize("halves", [True, False])
@pytest.mark.parametrize(("dpi", "colours"), [(300, "-gray"), (300, "-mono"), (203, "-gray"), (203, "-mono")])
def test_every_printed_square_is_read_and_none_wrongly(
    grid: Grid, dpi: int, colours: str, tmp_path: Path, *, halves: bool
) -> None:
    codes = drawn(len(tag_areas(grid, halves=halves)))
    pdf = draw_tag_sheet(codes, grid=grid, halves=halves, name="garage", port=8765, dpi=dpi)
    [page] = rasterised(pdf, tmp_path, dpi, colours)
    ends = ("A", "B") if halves else (None,)
    expected = [payload("garage", 8765, code, end) for code in codes for end in ends]
    assert sorted(square.text for square in scanned(page)) == sorted(expected)


def test_a_sheet_drawn_for_one_printer_is_read_from_another(tmp_path: Path) -> None:
    pdf = draw_tag_sheet(drawn(20), grid=GRIDS[0], halves=True, name="garage", port=8765, dpi=300)
    [page] = rasterised(pdf, tmp_path, 203, "-mono")
    assert len({square.text for square in scanned(page)}) == 40


@pytest.mark.parametrize(("dpi", "dots"), [(300, 6), (203, 4)])
def test_modules_are_whole_printer_dots(tmp_path: Path, dpi: int, dots: int) -> None:
    pdf = draw_tag_sheet(drawn(40), grid=GRIDS[0], halves=False, name="garage", port=8765, dpi=dpi)
    [page] = rasterised(pdf, tmp_path, dpi, "-mono")
    for square in scanned(page):
        left, top = square.position.top_left.x - 3, square.position.top_left.y - 3
        symbol = page.crop((left, top, left + 29 * dots + 6, top + 29 * dots + 6))
        for picture in (symbol, symbol.transpose(Image.Transpose.TRANSPOSE)):
            rows = (picture.crop((0, y, picture.width, y + 1)).tobytes() for y in range(picture.height))
            strokes = [len(stroke) for row in rows for stroke in re.findall(rb"\x00+", row)]
            assert strokes
            assert all(length % dots == 0 for length in strokes)


def test_the_same_codes_give_the_same_bytes() -> None:
    pages = [draw_tag_sheet(drawn(3), grid=GRIDS[0], halves=True, name="garage", port=8765) for _ in range(2)]
    assert pages[0] == pages[1]


def test_a_sheet_shows_code_host_scale_and_its_number(tmp_path: Path) -> None:
    codes = drawn(21)
    pdf = draw_tag_sheet(codes, grid=GRIDS[0], halves=True, name="garage", port=8765, first_sheet=7)
    text = text_of(pdf, tmp_path)
    assert all(text.count(shown(code)) == 2 for code in codes)
    assert text.count("garage.local:8765") == 42
    assert text.count("Print at 100 %") == 2
    assert re.findall(r"Sheet \d+", text) == ["Sheet 7", "Sheet 8"]


@pytest.mark.parametrize("halves", [True, False])
def test_labels_too_small_to_scan_carry_text_only_and_say_so(tmp_path: Path, *, halves: bool) -> None:
    small = replace(GRIDS[0], label_height_mm=12.7, pitch_y_mm=12.7)
    codes = drawn(4)
    pdf = draw_tag_sheet(codes, grid=small, halves=halves, name="garage", port=8765)
    text = text_of(pdf, tmp_path)
    assert all(shown(code) in text for code in codes)
    assert "too small to scan" in text
    [page] = rasterised(pdf, tmp_path, 300, "-gray")
    assert scanned(page) == []


def test_the_longest_name_and_port_still_fit(tmp_path: Path) -> None:
    codes = drawn(2)
    pdf = draw_tag_sheet(codes, grid=GRIDS[0], halves=True, name="workshop-12ab", port=48765)
    [page] = rasterised(pdf, tmp_path, 300, "-mono")
    expected = {payload("workshop-12ab", 48765, code, end) for code in codes for end in "AB"}
    assert {square.text for square in scanned(page)} == expected


@pytest.mark.parametrize("codes", [[], ["7K3F9QR"], ["7K3F9QQ", "7K3F9QQ"]], ids=["none", "wrong", "twice"])
def test_no_sheet_is_drawn_of_wrong_codes(codes: list[str]) -> None:
    with pytest.raises(ValueError, match="valid codes, each once"):
        draw_tag_sheet(codes, grid=GRIDS[0], halves=True, name="garage", port=8765)
