"""Sheets of paper are numbered through, however often they are printed again."""

import subprocess
from pathlib import Path

from tests.web.conftest import Garage


def test_a_sheet_keeps_its_number_when_it_is_printed_again(garage: Garage, tmp_path: Path) -> None:
    first = garage.one("SELECT max(nr) FROM sheet")
    before = -(-garage.one("SELECT count(*) FROM tag") // 20)
    garage.owner.post("/b/1/print", grid="a4-40", halves="halves", sheets="2")
    pdf = tmp_path / "sheet.pdf"
    for _ in range(2):
        pdf.write_bytes(garage.owner.get(f"/sheets/{first + 1}.pdf").data)
        said = subprocess.run(["pdftotext", pdf, "-"], check=True, capture_output=True, text=True).stdout
        assert [n for n in range(1, 9) if f"Sheet {n}\n" in said] == [before + 1, before + 2]
