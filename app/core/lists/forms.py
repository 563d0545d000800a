"""The forms that a list's cells have: text, numbers, words of a choice, threads, torques, ids, places."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from app.core.items.items import TYPE_FIELD
from app.core.items.kinds import Kind
from app.core.lists.cells import Cells
from app.core.lists.column import Column
from app.core.lists.vocabulary import KIND_WORDS, NO_FIGURE, NOTHING, kind_named
from app.core.problem import Problem
from app.core.torque.choices import choices_of
from app.core.torque.text import parse_torque

IN = "→"
"""Parts a place from what it stands in: `bag 4 → crate 1 → shelf A`."""
_LONGEST_PLACE = 60
_LONGEST_TYPE = 200
_LINES = re.compile(r"\s*[\r\n\t]+\s*")


def one_line(cell: str) -> str:
    """Return a cell's text on one line."""
    return _LINES.sub(" ", cell)


def read_text(cells: Cells, column: Column) -> str:
    """Return a cell's text on one line, empty where it says that there is nothing; too long is wrong."""
    cell = cells.raw(column.name)
    return "" if cell.casefold() in NOTHING else _kept(cells, column, one_line(cell))


def _kept(cells: Cells, column: Column, cell: str) -> str:
    if len(cell) > column.longest:
        told = f"This is longer than {column.longest} signs: shorten it."
        cells.fail(column.name, "too-long", told)
    return cell


def as_dict(field: str, value: Any) -> Mapping[str, Any]:
    """Return what fills a field; nothing where there is nothing."""
    return {field: value} if value else {}


@dataclass(frozen=True, slots=True)
class Text:
    """Any words; a dash says that there are none."""

    known: str = ""

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return the words on one line."""
        return as_dict(column.field, read_text(cells, column))

    def write(self, record: Any, column: Column) -> str:
        """Return the words."""
        return str(getattr(record, column.field))


@dataclass(frozen=True, slots=True)
class Verbatim(Text):
    """Words as they stand, a dash too: ids, names, notes.

    Args:
        lines: Whether several lines stay so.
    """

    lines: bool = False

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return the words."""
        cell = cells.raw(column.name)
        cell = re.sub(r"\r\n?", "\n", cell) if self.lines else one_line(cell)
        return as_dict(column.field, _kept(cells, column, cell))


@dataclass(frozen=True, slots=True)
class Whole:
    """A whole number from `low` to `high`."""

    low: int
    high: int

    @property
    def known(self) -> str:
        """The range."""
        return f"{self.low} to {self.high}"

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return the number."""
        cell = read_text(cells, column)
        if not cell:
            return {}
        number = plain_number(cell.lower().removesuffix("min").strip())
        if number is None or number != int(number) or not self.low <= number <= self.high:
            told = f"«{cell[:40]}» is no whole number from {self.low} to {self.high}."
            cells.fail(column.name, "number", told)
            return {}
        return {column.field: int(number)}

    def write(self, record: Any, column: Column) -> str:
        """Return the number; empty where there is none, or one that could not be read."""
        number = getattr(record, column.field)
        return "" if number is None or number < self.low else str(number)


@dataclass(frozen=True, slots=True)
class Choice:
    """One of some words.

    Args:
        words: What a cell may say -> what it stands for.
        silent: What stands for nothing said: an export leaves the cell empty.
    """

    words: Mapping[str, str]
    silent: str = ""

    @property
    def known(self) -> str:
        """What the words stand for."""
        return ", ".join(dict.fromkeys(word.replace("_", " ") for word in self.words.values()))

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return what the word stands for."""
        cell = read_text(cells, column)
        plain = re.sub(r"[\s_-]+", " ", cell).lower()
        if not cell or plain in self.words:
            return as_dict(column.field, self.words.get(plain, ""))
        known = ", ".join(dict.fromkeys(self.words.values()))
        cells.fail(column.name, "word-unknown", f"«{cell[:40]}» is not known here. Known are: {known}.")
        return {}

    def write(self, record: Any, column: Column) -> str:
        """Return what is chosen."""
        value = str(getattr(record, column.field))
        return "" if value == self.silent else value


@dataclass(frozen=True, slots=True)
class KindAndType:
    """A kind or a word of the trade, with the type behind a colon: `connection: coolant hose`."""

    known: str = ", ".join(Kind)

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return kind and type; nothing where it is wrong."""
        cell = one_line(cells.raw(column.name))
        _kept(cells, column, cell)
        word, _, item_type = (part.strip() for part in cell.partition(":"))
        found = kind_named(word)
        if len(item_type) > _LONGEST_TYPE:
            told = f"The type is longer than {_LONGEST_TYPE} signs: shorten it."
            cells.fail(column.name, "too-long", told)
        if found:
            return {"kind": found[0], "type": item_type or found[1]}
        if cell:
            told = f"«{cell[:40]}» is no kind. Kinds are: {', '.join([*Kind, *KIND_WORDS])}."
            cells.fail(column.name, "kind-unknown", told)
        else:
            told = f"Say what kind of thing this is: {self.known}."
            cells.fail(column.name, "kind-missing", told)
        return {}

    def write(self, record: Any, column: Column) -> str:
        """Return the kind with its type; a finding is called by what it is and needs no second word."""
        kind: Kind = getattr(record, column.field)
        item_type = getattr(record.detail, TYPE_FIELD.get(kind, ""), "")
        is_name = kind is Kind.FINDING and item_type == record.name
        return f"{kind.value}: {item_type}" if item_type and not is_name else kind.value


@dataclass(frozen=True, slots=True)
class Torque:
    """A torque as printed, with its unit, or the words that a figure was looked for and none found."""

    known: str = ""

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return the torque, or that there is no figure; a number without a unit is wrong."""
        cell = read_text(cells, column)
        if cell.lower() == NO_FIGURE:
            return {"no_figure": True}
        read = parse_torque(cell) if cell else None
        if isinstance(read, Problem):
            cells.fail(column.name, read.code, read.message + _values_of(cell))
        return as_dict(column.field, cell)

    def write(self, record: Any, column: Column) -> str:
        """Return the torque, or that there is no figure."""
        return str(getattr(record, column.field)) or (NO_FIGURE if record.no_figure else "")


def _values_of(cell: str) -> str:
    """Return how a print for different cases is written: one of its values, and the whole beside it."""
    values = ", ".join(f"«{choice.text}»" for choice in choices_of(cell))
    return f" Write one of {values} here, and the whole as torque_print." if values else ""


@dataclass(frozen=True, slots=True)
class Path:
    """A place and what it stands in, from a bag outward."""

    known: str = ""

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return the names, the innermost first."""
        parts = (part.strip() for part in read_text(cells, column).split(IN))
        place = tuple(part for part in parts if part)
        if any(len(name) > _LONGEST_PLACE for name in place):
            told = f"A place's name has at most {_LONGEST_PLACE} signs: shorten it."
            cells.fail(column.name, "too-long", told)
        return as_dict(column.field, place)

    def write(self, record: Any, column: Column) -> str:
        """Return the names with arrows between."""
        return f" {IN} ".join(getattr(record, column.field))


@dataclass(frozen=True, slots=True)
class Ids:
    """The ids of other rows, several parted by semicolons."""

    known: str = ""

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return the ids, each once."""
        parts = (part.strip() for part in re.split(r"[;\n]", cells.raw(column.name)))
        ids = dict.fromkeys(part for part in parts if part and part.casefold() not in NOTHING)
        return as_dict(column.field, tuple(ids))

    def write(self, record: Mapping[str, tuple[str, ...]], column: Column) -> str:
        """Return the ids from relations and what they name."""
        return ";".join(record.get(column.field, ()))


def plain_number(text: str) -> float | None:
    """Return a number with a point or a comma; nothing where the text is none."""
    if not re.fullmatch(r"[+-]?\d{1,12}(?:[.,]\d{1,12})?", text, re.ASCII):
        return None
    number = float(text.replace(",", "."))
    return number if isfinite(number) else None
