"""The text of a list: its cells parted, its columns known by name, its lines counted; and written."""

import csv
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import zip_longest

from app.core.lists.bytes import NO_TEXT, fault_in, line_label, lines_in
from app.core.problem import Problem

COLUMNS = (
    "id",
    "step",
    "height",
    "people",
    "minutes",
    "direction",
    "zone",
    "kind",
    "name",
    "count",
    "thread",
    "length_mm",
    "grade",
    "torque",
    "torque_source",
    "holds",
    "joins",
    "covers",
    "one_time",
    "disposition",
    "place",
    "note",
)
REPLACES = "replaces"
"""One more column, which an export has only where something new stands in the place of something old."""
MOST_ROWS = 50_000

_KNOWN = (*COLUMNS, REPLACES)
_SEPARATORS = ",;\t|"
_ENDLESS = "A cell here has no end: more than 131,072 signs."
_UNCLOSED = (
    "A quotation mark opens a cell here, and the cell does not end with another. "
    "Inside a cell in quotation marks, write each of its own twice."
)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a list.

    Args:
        line: Where it begins in the file, from 1.
        cells: Column -> text without blanks around it; empty cells are left out.
        beyond: What stands after the last column.
    """

    line: int
    cells: Mapping[str, str]
    beyond: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A list as it was read.

    Args:
        rows: Without the empty ones.
        unread: Columns whose name is not known: they are passed over.
    """

    rows: tuple[Row, ...]
    unread: tuple[str, ...] = ()


def read_table(text: str) -> Table | tuple[Problem, ...]:
    """Part a list into rows and name their cells by the first line.

    Commas, semicolons, tabulators or bars part the cells, whichever makes most of the first line known. A
    first line `sep=;` is passed over, as blank lines are. Names of columns may be in any case, with blanks,
    hyphens or brackets for the underscore: `Length (mm)`.

    Returns:
        The table, or what is wrong.
    """
    if wrong := fault_in(text):
        return (wrong,)
    begins = re.match(r"(?:[ \t]*(?:\r\n|\r|\n))*(?:sep=.[ \t]*(?:\r\n|\r|\n))?", text, re.IGNORECASE)
    skipped = begins.group() if begins else ""
    before = lines_in(skipped)
    body = text[len(skipped) :]
    if not body.strip():
        return (Problem("empty", "There is no row in this list."),)
    separator = max(_SEPARATORS, key=lambda sign: _known_in_head(body, sign))
    rows: list[tuple[int, list[str]]] = []
    try:
        for line, cells in _records(body, separator):
            rows.append((line + before, cells))
            if len(rows) > MOST_ROWS + 1:
                return (
                    Problem(
                        "too-many", f"A list has at most {MOST_ROWS:,} rows: part it into several lists."
                    ),
                )
    except _TornError as torn:
        return (Problem("torn", torn.message, line_label(torn.line + before)),)
    return _named(rows)


def _lines(text: str) -> Iterator[str]:
    """Give the lines with their ends; no other sign than these ends a line in a file."""
    return (found.group() for found in re.finditer(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+", text))


class _TornError(Exception):
    def __init__(self, line: int, message: str) -> None:
        super().__init__(message)
        self.line, self.message = line, message


def _records(text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    """Give each record with the line it begins at; a cell in quotation marks may run over lines.

    Raises:
        _TornError: A quotation mark is not closed, or a cell has no end.
    """
    reader = csv.reader(_lines(text), delimiter=separator, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            yield line, next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            told = _ENDLESS if "field limit" in str(error) else _UNCLOSED
            raise _TornError(line, told) from error


def _known_in_head(text: str, separator: str) -> int:
    try:
        head = next(_records(text, separator), (1, []))[1]
    except _TornError:
        return 0
    return len({_column(cell) for cell in head} & set(_KNOWN))


def _column(cell: str) -> str:
    plain = unicodedata.normalize("NFKC", cell).strip().strip("'\"").lower()
    return re.sub(r"[\s\-_()\[\]?:.*]+", "_", plain).strip("_")


def _named(records: list[tuple[int, list[str]]]) -> Table | tuple[Problem, ...]:
    first, head = records[0]
    columns = [_column(cell) for cell in head]
    wrong = _wrong_columns(columns, first)
    if wrong:
        return wrong
    rows = []
    for line, cells in records[1:]:
        texts = [cell.strip() for cell in cells]
        filled = [(n, cell) for n, cell in zip_longest(columns, texts, fillvalue="") if cell]
        known = {name: open_cell(cell) for name, cell in filled if name in _KNOWN}
        beyond = tuple(cell for name, cell in filled if not name)
        if known or beyond:
            rows.append(Row(line, known, beyond))
    if not rows:
        return (Problem("empty", "There is no row under the names of the columns."),)
    return Table(tuple(rows), tuple(c for c in columns if c and c not in _KNOWN))


def _wrong_columns(columns: list[str], line: int) -> tuple[Problem, ...]:
    known = [name for name in columns if name in _KNOWN]
    if not {"step", "kind"} & set(known):
        told = "The first line must name the columns, «kind» or «step» among them. Known are: "
        return (Problem("no-columns", f"{told}{', '.join(COLUMNS)}.", line_label(line)),)
    twice = dict.fromkeys(name for name in known if known.count(name) > 1)
    problems = [
        Problem("column-twice", f"The column «{n}» is there twice.", line_label(line, n)) for n in twice
    ]
    for name in columns:
        near = _near(name, [column for column in _KNOWN if column not in known])
        if name and name not in _KNOWN and near:
            told = f"There is no column «{name}». Is «{near[0]}» meant? Put its name right, or take it out."
            problems.append(Problem("column-unknown", told, line_label(line, name)))
    return tuple(problems)


def _near(name: str, columns: list[str]) -> list[str]:
    """Return the column that a name is likely to mean: a misspelt one, or one with its unit behind it."""
    within = [column for column in columns if re.search(rf"(?<![a-z]){column}(?![a-z])", name)]
    return within or get_close_matches(name, columns, 1, 0.75)


_RUNS = re.compile(r"'*[=+\-@\t\r＝＋－＠]")


def guarded(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula: an apostrophe goes before what would run."""
    return f"'{cell}" if _RUNS.match(cell) else cell


def open_cell(cell: str) -> str:
    """Return a cell without the apostrophe that `guarded` put before it."""
    return cell[1:] if cell.startswith("'") and _RUNS.match(cell) else cell


def write_line(cells: list[str]) -> str:
    """Return one line of a list: commas between, quotation marks where any reader could part a cell."""
    return ",".join(_quoted(guarded(NO_TEXT.sub("", cell))) for cell in cells) + "\r\n"


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"' if set(cell) & set(",;|\t\r\n\"'") else cell
