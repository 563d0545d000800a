"""The scannable square (QR code model 2): text to matrix, matrix to strokes, modules to millimetres."""

from collections.abc import Iterator, Sequence
from typing import Literal

from qrcode import QRCode, constants

from app.core.problem import Problem

Level = Literal["L", "M", "Q", "H"]
Matrix = Sequence[Sequence[bool]]

# Width of the blank border that a reader needs, [modules]. Source: ISO/IEC 18004.
QUIET_MODULES = 4
# Width of one module, [mm]: four dots of a 203 dpi printer. Four dots or more are the advice of the
# code's maker, seen at http://www.qrcode.com/en/howto/cell.html.
MODULE_MM = 0.5
_MM_PER_INCH = 25.4
# Room beside the square for the code in letters that are still read at arm's length, [mm].
_TEXT_MM = 14.0

_LEVELS = {
    "L": constants.ERROR_CORRECT_L,
    "M": constants.ERROR_CORRECT_M,
    "Q": constants.ERROR_CORRECT_Q,
    "H": constants.ERROR_CORRECT_H,
}


def qr_matrix(text: str, level: Level = "Q") -> Matrix:
    """Return the rows of the smallest square that holds `text`, True where black, no border.

    Args:
        text: What a scan shall give.
        level: Error correction; at Q about a quarter of the square may be lost.

    Raises:
        qrcode.exceptions.DataOverflowError: The text does not fit the largest square.
    """
    code = QRCode(error_correction=_LEVELS[level], border=0)
    code.add_data(text)
    matrix: Matrix = code.get_matrix()
    return matrix


def runs(matrix: Matrix) -> Iterator[tuple[int, int, int]]:
    """Yield the black strokes as (row, first column, length), [modules], row by row."""
    for at, row in enumerate(matrix):
        line = "".join("#" if black else " " for black in row)
        start = line.find("#")
        while start >= 0:
            end = line.find(" ", start)
            end = len(line) if end < 0 else end
            yield at, start, end - start
            start = line.find("#", end)


def dots_to_mm(dots: float, dpi: float) -> float:
    """Return the length of `dots` printer dots at `dpi` dots to the inch, [mm]."""
    return dots * _MM_PER_INCH / dpi


def module_mm(dpi: int) -> float:
    """Return the width of a module on a printer, `MODULE_MM` snapped to whole dots, [mm].

    Args:
        dpi: Dots to the inch, 150 to 2400; 4 dots at 203, 6 at 300, 12 at 600.
    """
    return dots_to_mm(max(1, round(MODULE_MM * dpi / _MM_PER_INCH)), dpi)


def square_mm(modules: int, dpi: int, *, quiet: bool) -> float:
    """Return the side of a printed square with or without its blank border, [mm]."""
    return (modules + 2 * QUIET_MODULES * quiet) * module_mm(dpi)


def too_small(modules: int, width_mm: float, height_mm: float, dpi: int) -> Problem | None:
    """Return why a label carries its code as text only, or None where the square fits.

    The label's own blank margin serves as the square's border; beside it stands the code in letters.

    Args:
        modules: The square's side without border.
        width_mm: The label, or the half of one that a tag has for itself, [mm].
        height_mm: The same, [mm].
        dpi: The printer's dots to the inch.
    """
    side = square_mm(modules, dpi, quiet=True)
    if side <= height_mm and side + _TEXT_MM <= width_mm:
        return None
    return Problem(
        "label-too-small",
        f"A tag has {width_mm:.1f} × {height_mm:.1f} mm here and needs {side + _TEXT_MM:.1f} × {side:.1f} mm "
        "to be scanned, so it carries its code as text only. Type the code, or choose larger labels.",
        "grid",
    )
