"""Threads in a list: the size in one column, the length under the head in another, both in one field."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from app.core.lists.cells import Cells
from app.core.lists.column import Column
from app.core.lists.forms import as_dict, plain_number, read_text
from app.core.lists.vocabulary import NOTHING
from app.core.problem import Problem
from app.core.threads.text import Thread, parse_thread

_LONGEST_LENGTH_MM = 2000
_SAME_LENGTH_MM = 0.05


@dataclass(frozen=True, slots=True)
class Threaded:
    """A thread's size.

    Args:
        length: The column that holds its length: both fill one field.
    """

    length: str
    known: str = ""

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return the thread with its length, where it has both."""
        cell, length = read_text(cells, column), _length_mm(cells, self.length)
        read = parse_thread(cell) if cell else None
        if isinstance(read, Problem):
            cells.fail(column.name, read.code, read.message)
        if length is None or not isinstance(read, Thread):
            return as_dict(column.field, cell)
        if read.length_mm is not None and abs(read.length_mm - length) > _SAME_LENGTH_MM:
            told = f"«{cell}» says {read.length_mm:g} mm, not {length:g} mm."
            cells.fail(self.length, "length-differs", told)
            return {column.field: cell}
        joined = joined_thread(cell, length)
        if not joined:
            told = f"«{cell}» takes no length: say it in the note."
            cells.fail(self.length, "length-alone", told)
        return as_dict(column.field, joined)

    def write(self, record: Any, column: Column) -> str:
        """Return the thread without the length."""
        return parted_thread(getattr(record, column.field))[0]


@dataclass(frozen=True, slots=True)
class LengthOfThread:
    """The length under the head, [mm]; the thread's own column takes it in."""

    known: str = ""

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Check the length; it fills no field of its own."""
        _length_mm(cells, column.name)
        return {}

    def write(self, record: Any, column: Column) -> str:
        """Return the length of the thread."""
        return parted_thread(getattr(record, column.field))[1]


def _length_mm(cells: Cells, name: str) -> float | None:
    cell = cells.raw(name)
    if not cell or cell.casefold() in NOTHING:
        return None
    number = plain_number(cell.lower().removesuffix("mm").strip())
    if number is None or not 0 < number <= _LONGEST_LENGTH_MM:
        told = f"«{cell[:40]}» is no length from 0 to {_LONGEST_LENGTH_MM} mm."
        cells.fail(name, "number", told)
        return None
    return number


def joined_thread(text: str, length_mm: float) -> str:
    """Return a thread's text with the length, [mm], joined on; empty where it takes none of this length."""
    for joined in (text, f"{text}x{length_mm:g}", f"{text} x {length_mm:g} mm"):
        read = parse_thread(joined)
        if isinstance(read, Thread) and abs((read.length_mm or 0) - length_mm) <= _SAME_LENGTH_MM:
            return joined
    return ""


def parted_thread(text: str) -> tuple[str, str]:
    """Return a thread's text and its length, [mm], so that `joined_thread` gives the same text again."""
    read = parse_thread(text) if text else None
    if not isinstance(read, Thread) or not 0 < (read.length_mm or 0) <= _LONGEST_LENGTH_MM:
        return text, ""
    length = read.length_mm or 0
    short = re.sub(rf"\s?x\s?{length:g}(?: mm)?$", "", text)
    return (short if short != text and joined_thread(short, length) == text else text), f"{length:g}"
