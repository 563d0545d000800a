import random
import re
import subprocess
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from app.core.tags import draw_code
from app.paper.fonts import ADVANCE, fitting
from app.paper.grids import label_grids
from app.paper.tag_sheet import draw_tag_sheet

GRIDS = list(label_grids().values())


def drawn(count: int) -> list[str]:
    chance = random.Random(count)  # noqa: S311  # a test's draw is repeatable
    return [draw_code(chance.choice) for _ in range(count)]


def test_the_typeface_is_embedded(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(
        draw_tag_sheet(drawn(1), grid=GRIDS[0], halves=False, name="garage", port=8765)
    )
    listed = subprocess.run(["pdffonts", tmp_path / "sheet.pdf"], check=True, capture_output=True, text=True)
    rows = [row for row in listed.stdout.splitlines() if "DejaVuSansMono" in row]
    assert rows
    assert all(re.search(r"yes yes yes", row) for row in rows)


@given(st.text(alphabet="ab 1·", max_size=200), st.floats(5, 60))
def test_breaking_a_text_loses_nothing_but_blanks(text: str, width: float) -> None:
    lines = fitting(text, width, 2.7)

    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(len(line) <= max(1, int(width / (2.7 * ADVANCE))) for line in lines)
