"""Lines of comma-separated values as spreadsheets read them, without a cell that one would run."""

import csv
import re
from collections.abc import Sequence

NO_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffd]")
"""Signs that no text has: control signs, halves of characters, what a lost one leaves."""

# OWASP, «CSV Injection»: = + - @, tab, carriage return, line feed and the full-width forms; spreadsheets
# pass over blanks before them.
_RUNS = re.compile(r"'*\s*[=+\-@\t\r\n＝＋－＠]")


def guarded(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula: an apostrophe goes before what would run."""
    return f"'{cell}" if _RUNS.match(cell) else cell


def open_cell(cell: str) -> str:
    """Return a cell without the apostrophe that `guarded` put before it."""
    return cell[1:] if cell.startswith("'") and _RUNS.match(cell) else cell


class _Passed:
    """Hands a written line back to whoever wrote it."""

    def write(self, line: str) -> str:
        return line


_WRITER = csv.writer(_Passed())


def write_line(cells: Sequence[str]) -> str:
    """Return one line with its end: each cell guarded, without signs that no text has."""
    line: object = _WRITER.writerow([guarded(NO_TEXT.sub("", cell)) for cell in cells])
    return str(line)
