"""The text of a list: its cells parted, its columns known by name, its lines counted."""

import csv
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import zip_longest

from app.core.csv_lines import open_cell
from app.core.lists import columns
from app.core.lists.bytes import fault_in, line_label, lines_in
from app.core.lists.cells import Row
from app.core.problem import Problem

MOST_ROWS = 50_000

_SEPARATORS = ",;\t|"
_ALIKE = 0.75
"""How much of two names is the same, at least, where one may be the other misspelt, [-]."""
_SIGNS_APART = 2
_UNIT = re.compile(
    r"_(?:in_)?(?:n[·.*_]?m|(?:ft|in)_?lbs?f?|lbs?f?_?(?:ft|in)|kgf?[·.*_]?c?m|mm|cm|in|inch(?:es)?|min(?:utes)?"
    r"|h|hours?|pcs|pieces)$"
)
_ENDLESS = "A cell here has no end: more than 131,072 signs."
_UNCLOSED = (
    "A quotation mark opens a cell here, and the cell does not end with another. "
    "Inside a cell in quotation marks, write each of its own twice."
)


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
    return len(set(map(_column, head)) & columns.TABLE.named.keys())


def _column(cell: str) -> str:
    """Return the column that a heading means; for one that is not known, the heading with underscores."""
    plain = unicodedata.normalize("NFKC", cell).strip().strip("'\"").lower()
    plain = re.sub(r"[\s\-_()\[\]?:.*]+", "_", plain).strip("_")
    return columns.TABLE.headings.get(plain, plain)


def _named(records: list[tuple[int, list[str]]]) -> Table | tuple[Problem, ...]:
    first, head = records[0]
    names = [_column(cell) for cell in head]
    wrong = _wrong_columns(names, first)
    if wrong:
        return wrong
    known, rows = columns.TABLE.named, []
    for line, cells in records[1:]:
        texts = [open_cell(cell.strip()).strip() for cell in cells]
        filled = [(name, cell) for name, cell in zip_longest(names, texts, fillvalue="") if cell]
        read = {name: cell for name, cell in filled if name in known}
        beyond = tuple(cell for name, cell in filled if not name)
        if read or beyond:
            rows.append(Row(line, read, beyond))
    if not rows:
        return (Problem("empty", "There is no row under the names of the columns."),)
    return Table(tuple(rows), tuple(name for name in names if name and name not in known))


def _wrong_columns(names: list[str], line: int) -> tuple[Problem, ...]:
    table = columns.TABLE
    known = [name for name in names if name in table.named]
    if not {"step", "kind"} & set(known):
        told = "The first line must name the columns, «kind» or «step» among them. Known are: "
        return (Problem("no-columns", f"{told}{', '.join(table.names)}.", line_label(line)),)
    twice = dict.fromkeys(name for name in known if known.count(name) > 1)
    problems = [
        Problem("column-twice", f"The column «{n}» is there twice.", line_label(line, n)) for n in twice
    ]
    for name in names:
        near = "" if name in table.named else _near(name, [each for each in table.names if each not in known])
        if near:
            told = f"There is no column «{name}». Is «{near}» meant? Put its name right, or take it out."
            problems.append(Problem("column-unknown", told, line_label(line, name)))
    return tuple(problems)


def _near(name: str, free: list[str]) -> str:
    """Return the column that a heading is likely to mean; empty for none.

    It is one misspelt, or one with another unit than its own: a figure's unit belongs into its cell. One
    with other words beside it is another thing: a thread's pitch is no thread.
    """
    bare = _UNIT.sub("", name)
    same = next((column for column in free if bare == _UNIT.sub("", column)), "")
    if same or any(re.search(rf"(?<![a-z]){column}(?![a-z])", name) for column in columns.TABLE.names):
        return same
    close = get_close_matches(name, free, 1, _ALIKE)
    return next((column for column in close if abs(len(column) - len(name)) <= _SIGNS_APART), "")
