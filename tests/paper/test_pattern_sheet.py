"""The pattern on paper: the bar is 100 mm, holes lie where they were measured, on one sheet or several."""

import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from app.core.problem import Problem
from app.paper.pattern_sheet import PAPERS, HoleMark, PatternSheet, pattern_pdf

DPI = 300
BOX = PatternSheet(
    "#7 Cover bolts",
    "M8x1.25 · 25 N·m",
    (
        HoleMark(1, 1, 0, 0, 25),
        HoleMark(2, 3, 100, 0, 25),
        HoleMark(3, 2, 100, 60, 45),
        HoleMark(4, 4, 0, 60),
    ),
    measured=True,
)


def pages(pdf: bytes | Problem, folder: Path) -> list[Image.Image]:
    assert isinstance(pdf, bytes)
    (folder / "p.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", folder / "p.pdf", folder / "p"], check=True)
    return [Image.open(page).convert("L") for page in sorted(folder.glob("p-*"))]


def words(folder: Path) -> str:
    command = ["pdftotext", "-layout", str(folder / "p.pdf"), "-"]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def longest_dark_run_mm(page: Image.Image, top_mm: float, bottom_mm: float) -> float:
    """Return the longest unbroken dark stretch of any row between two heights."""
    best = 0
    for y in range(int(top_mm / 25.4 * DPI), int(bottom_mm / 25.4 * DPI)):
        row = page.crop((0, y, page.width, y + 1)).tobytes()
        best = max(best, *(len(run) for run in re.findall(rb"[\x00-\x7f]+", row)), 0)
    return best / DPI * 25.4


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_bar_is_a_hundred_millimetres(paper: str, tmp_path: Path) -> None:
    [page] = pages(pattern_pdf(BOX, PAPERS[paper]), tmp_path)
    high = PAPERS[paper][1]
    assert longest_dark_run_mm(page, high - 10, high - 7) == pytest.approx(100, abs=0.5)


def test_holes_lie_where_they_were_measured(tmp_path: Path) -> None:
    [page] = pages(pattern_pdf(BOX, PAPERS["A4"]), tmp_path)
    left, top = 12 + 16, 24 + 16
    for x, y in ((0, 0), (100, 0), (100, 60), (0, 60)):
        at = (round((left + x) / 25.4 * DPI), round((top + y) / 25.4 * DPI))
        edge = at[0] + round(7 / 25.4 * DPI)
        assert min(page.crop((edge - 3, at[1], edge + 4, at[1] + 1)).tobytes()) < 128, (x, y)


def test_turns_holes_and_lengths_are_in_text(tmp_path: Path) -> None:
    pages(pattern_pdf(BOX, PAPERS["A4"]), tmp_path)
    said = words(tmp_path)
    assert "hole 3" in said
    assert "45 mm" in said
    assert "hole 4" in said
    assert "1:1." in said


def test_a_pattern_that_was_not_measured_says_so(tmp_path: Path) -> None:
    loose = PatternSheet("#7", "", (HoleMark(1, 1, 0, 0), HoleMark(2, 2, 1, 0)), measured=False)
    pages(pattern_pdf(loose, PAPERS["A4"]), tmp_path)
    assert "Not to scale" in words(tmp_path)


def test_a_large_pattern_goes_over_sheets_and_a_huge_one_is_refused(tmp_path: Path) -> None:
    long = PatternSheet("#7", "", (HoleMark(1, 1, 0, 0), HoleMark(2, 2, 400, 0)), measured=True)
    assert len(pages(pattern_pdf(long, PAPERS["A4"]), tmp_path)) == 3
    huge = PatternSheet("#7", "", (HoleMark(1, 1, 0, 0), HoleMark(2, 2, 2900, 2900)), measured=True)
    refused = pattern_pdf(huge, PAPERS["A4"])
    assert isinstance(refused, Problem)
    assert refused.where == "places_mm"


def test_the_print_stands_word_for_word_and_a_longer_one_says_where_it_is(tmp_path: Path) -> None:
    for printed, said in (
        ("25 Nm (18 ft-lb)", "25 Nm (18 ft-lb)"),
        ("word " * 90, "The whole print is on the card."),
    ):
        sheet = replace(BOX, words=f"M8 · printed “{printed}” · read as 25 N·m")
        pages(pattern_pdf(sheet, PAPERS["A4"]), tmp_path)
        assert said in words(tmp_path)
