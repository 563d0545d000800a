import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.csv_lines import guarded, open_cell, write_line

CELLS = st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffd"))


@pytest.mark.parametrize(
    "cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t1", "\r1", " =1", "\xa0 @a", "'=1", "''@a", "' +1", "＝1"]
)
def test_no_cell_of_ours_is_run_by_a_spreadsheet(cell: str) -> None:
    (written,) = next(csv.reader(io.StringIO(write_line([cell]), newline="")))

    assert written == f"'{cell}"
    assert open_cell(written) == cell


@pytest.mark.parametrize("cell", ["M8x1.25, 4 ×", "a-b", "'x", "1=1", "", "5 @ 3"])
def test_a_cell_that_does_not_run_stays_as_it_is(cell: str) -> None:
    assert guarded(cell) == open_cell(cell) == cell


@given(st.lists(CELLS | st.sampled_from(["a,b", 'say "x"', "two\r\nlines"]), min_size=1, max_size=4))
def test_a_line_is_parted_into_its_cells_again(cells: list[str]) -> None:
    (row,) = csv.reader(io.StringIO(write_line(cells), newline=""), strict=True)

    assert row == [guarded(cell) for cell in cells]


def test_signs_that_no_text_has_are_left_out() -> None:
    assert write_line(["a\0b\x07", "=\ufffd1"]) == "ab,'=1\r\n"


@given(CELLS)
def test_the_apostrophe_that_goes_before_a_formula_comes_off_again(cell: str) -> None:
    assert open_cell(guarded(cell)) == cell or cell.startswith("'")
    assert open_cell(guarded(guarded(cell))) in {cell, guarded(cell)}
