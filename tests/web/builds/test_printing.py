"""Sheets of paper are numbered through, however often they are printed again."""

import subprocess
from pathlib import Path

import pytest

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


def test_a_sheet_draws_fresh_codes_and_comes_out_the_same_again(garage: Garage) -> None:
    known = garage.one("SELECT count(*) FROM tag")
    answer = garage.owner.post("/b/1/print", grid="a4-40", halves="halves", sheets="2")
    address = answer.headers["Location"]
    first, second = garage.owner.get(address), garage.owner.get(address)
    assert first.data.startswith(b"%PDF")
    assert first.data == second.data
    assert garage.one("SELECT count(*) FROM tag") > known
    assert garage.rows("SELECT name, port FROM printed_address ORDER BY name") == [
        ("garage", 8765),
        ("garage-old", 8000),
    ]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("grid", "wallpaper"),
        ("grid", ""),
        ("sheets", "0"),
        ("sheets", "31"),
        ("sheets", "many"),
        ("halves", "thirds"),
    ],
)
def test_a_sheet_out_of_range_is_not_printed(garage: Garage, field: str, value: str) -> None:
    before = garage.everything()
    form = {"grid": "a4-40", "halves": "halves", "sheets": "1", field: value}
    answer = garage.owner.post("/b/1/print", **form)
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.text
    assert garage.everything() == before
