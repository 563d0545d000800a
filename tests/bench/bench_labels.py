"""Time 1,200 labels on 30 sheets against the bare squares and the PDF library's drawing of them.

Run by `python -m tests.bench.bench_labels`; prints figure, target and ratio, and fails above the target.
"""

import io
import random
import sys
import time
from collections.abc import Callable

from qrcode import QRCode
from qrcode.constants import ERROR_CORRECT_Q
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from app.core.tags import draw_code, payload
from app.paper.grids import label_grids, tag_areas
from app.paper.tag_sheet import draw_tag_sheet

TARGET = 1.3
CODES = 600
ROUNDS = 3


def bare(codes: list[str]) -> bytes:
    """Draw the same squares in the same places, each as one path of strokes, and nothing else."""
    grid = label_grids()["a4-40"]
    places = tag_areas(grid, halves=True)
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(grid.sheet_width_mm * mm, grid.sheet_height_mm * mm))
    for number, code in enumerate(codes):
        for half, area in zip("AB", places[number % len(places)], strict=True):
            square = QRCode(error_correction=ERROR_CORRECT_Q, border=0)
            square.add_data(payload("garage", 8765, code, half))
            left, top = area.left * mm, (grid.sheet_height_mm - area.top) * mm
            path = canvas.beginPath()
            for row, modules in enumerate(square.get_matrix()):
                column = 0
                while column < len(modules):
                    start = column
                    while column < len(modules) and modules[column]:
                        column += 1
                    if column > start:
                        path.rect(
                            left + start * mm / 2, top - row * mm / 2, (column - start) * mm / 2, mm / 2
                        )
                    column += 1
            canvas.drawPath(path, stroke=0, fill=1)
        if number % len(places) == len(places) - 1:
            canvas.showPage()
    canvas.save()
    return out.getvalue()


def ours(codes: list[str]) -> bytes:
    """Draw the sheets as people get them."""
    return draw_tag_sheet(codes, grid=label_grids()["a4-40"], halves=True, name="garage", port=8765)


def seconds(work: Callable[[list[str]], bytes], codes: list[str]) -> float:
    start = time.perf_counter()
    work(codes)
    return time.perf_counter() - start


def main() -> int:
    chance = random.Random(1)  # noqa: S311  # the same labels in each run
    codes = [draw_code(chance.choice) for _ in range(CODES)]
    # Taken in turns, so that a busy machine slows both; the best round of each counts.
    pairs = [(seconds(bare, codes), seconds(ours, codes)) for _ in range(ROUNDS)]
    reference, figure = (min(times) for times in zip(*pairs, strict=True))
    ratio = figure / reference
    print(  # noqa: T201  # the figures are the result
        f"1,200 labels on 30 sheets: {figure:.2f} s; bare squares: {reference:.2f} s; "
        f"ratio {ratio:.2f}, target at most {TARGET}; {len(ours(codes)) / 1e6:.1f} MB"
    )
    return 0 if ratio <= TARGET else 1


if __name__ == "__main__":
    sys.exit(main())
