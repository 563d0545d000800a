"""The rows that follow from lines, in memory: each line changes some of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from app.core.items.bodies.base import Body
from app.core.items.journal import Line

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Told:
    """A line with what the journal's row says besides: its build, and the server's time."""

    line: Line
    build_id: str
    at: str

    @property
    def id(self) -> str:
        """The id of what the line is about."""
        return self.line.subject.partition(":")[2]


@dataclass(slots=True)
class Tables:
    """Rows by their keys, in the order in which they were written.

    `sheet_codes` and the rest are those tables of the database that follow from the journal.
    """

    build: dict[str, Row] = field(default_factory=dict)
    zone: dict[str, Row] = field(default_factory=dict)
    step: dict[str, Row] = field(default_factory=dict)
    step_edge: dict[tuple[str, str], Row] = field(default_factory=dict)
    item: dict[str, Row] = field(default_factory=dict)
    edge: dict[tuple[str, str, str], Row] = field(default_factory=dict)
    install_exception: dict[tuple[str, str], Row] = field(default_factory=dict)
    goes_after: dict[tuple[str, str], Row] = field(default_factory=dict)
    side_exception: dict[str, Row] = field(default_factory=dict)
    place: dict[str, Row] = field(default_factory=dict)
    sheet: dict[str, Row] = field(default_factory=dict)
    tag: dict[str, Row] = field(default_factory=dict)
    photo: dict[str, Row] = field(default_factory=dict)
    shows: dict[tuple[str, str], Row] = field(default_factory=dict)
    outstanding: dict[str, Row] = field(default_factory=dict)
    wrench: dict[str, Row] = field(default_factory=dict)
    adapter: dict[str, Row] = field(default_factory=dict)


def put(rows: dict[str, Row], row_id: str, fresh: Mapping[str, Any], said: Mapping[str, Any]) -> None:
    """Change a row by what a line says, or bring it into being: a new one begins with `fresh`."""
    rows[row_id] = {**(rows.get(row_id) or fresh), **said}


def without(rows: dict[Any, Row], column: str, value: str) -> None:
    """Take out the rows that have a value in a column."""
    for each in [key for key, row in rows.items() if row[column] == value]:
        del rows[each]


def said_of(body: Body, names: Iterable[str], **renamed: str) -> Row:
    """Return what a body says under these names, and under others where a column is called otherwise."""
    found = body.values(*names, *renamed)
    return {renamed.get(name, name): value for name, value in found.items()}
