"""The values reached on paper: every word is there, the head is on each page, long cells are broken."""

import subprocess
from pathlib import Path

import pytest

from app.paper.reached_sheet import COLUMNS, PAPERS, ReachedSheet, reached_pdf

ROW = (
    ("#7 Cover bolts",), ("“8-12 Nm (70-106 in-lb)”", "read as 8–12 N·m (70–106 lb·in)"),
    ("clicked at 10 N·m",), ("Small click",), ("Ada",), ("4 May 2031, 11:30",),
)  # fmt: skip


def words(pdf: bytes, folder: Path) -> str:
    (folder / "p.pdf").write_bytes(pdf)
    command = ["pdftotext", "-layout", str(folder / "p.pdf"), "-"]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


@pytest.mark.parametrize("paper", PAPERS)
def test_every_cell_is_printed_whole(paper: str, tmp_path: Path) -> None:
    text = words(reached_pdf(ReachedSheet("Blue van", "Values reached", (ROW,)), PAPERS[paper]), tmp_path)

    for said in ("Blue van", "#7 Cover bolts", "clicked at 10 N·m", "Small click", "Ada"):
        assert said in text
    for heading in COLUMNS:
        assert heading.heading in text
    assert "“8-12 Nm (70-106 in-lb)”" in text


def test_the_head_stands_on_every_page_and_no_row_is_lost(tmp_path: Path) -> None:
    rows = tuple(((f"#{nth} Bolts",), *ROW[1:]) for nth in range(1, 81))
    text = words(reached_pdf(ReachedSheet("Blue van", "", rows), PAPERS["A4"]), tmp_path)
    pages = text.split("\f")[:-1]

    assert len(pages) > 1
    for nth, page in enumerate(pages, start=1):
        assert f"Sheet {nth} of {len(pages)}" in page
        assert "Print, and what it is read as" in page
    assert all(f"#{nth} Bolts" in text for nth in range(1, 81))


def test_a_print_longer_than_a_page_goes_on_on_the_next(tmp_path: Path) -> None:
    long = " ".join(f"word{nth}" for nth in range(1500))
    text = words(
        reached_pdf(ReachedSheet("Blue van", "", ((("#1",), (long,), *ROW[2:]),)), PAPERS["A4"]), tmp_path
    )

    assert all(f"word{nth}" in text for nth in (0, 700, 1499))
