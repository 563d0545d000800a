"""Torques in a list beside the torque itself: the whole print of a chosen value, and what it is read as."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from app.core.lists.cells import Cells
from app.core.lists.column import Column
from app.core.lists.forms import as_dict, read_text
from app.core.problem import Problem
from app.core.torque.choices import choices_of
from app.core.torque.confirming import read_as
from app.core.torque.text import parse_torque


@dataclass(frozen=True, slots=True)
class WholePrint:
    """The whole print of which a torque is one value.

    Args:
        torque: The column that holds the chosen value.
    """

    torque: str
    known: str = ""

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return the print; one that does not give the chosen value is wrong. The choice may come later."""
        cell, chosen = read_text(cells, column), cells.raw(self.torque)
        if cell and chosen and chosen not in {choice.text for choice in choices_of(cell)}:
            told = f"«{chosen[:40]}» is none of the values that this print gives for different cases."
            cells.fail(column.name, "print-other", told)
        return as_dict(column.field, cell)

    def write(self, record: Any, column: Column) -> str:
        """Return the print; empty where the torque is the whole of it."""
        return str(getattr(record, column.field))


@dataclass(frozen=True, slots=True)
class ReadAs:
    """What a torque is read as, in one line; a list that says something else has it compared."""

    known: str = ""

    def read(self, cells: Cells, column: Column) -> Mapping[str, Any]:
        """Return what whoever wrote the list read the torque as."""
        cell = read_text(cells, column)
        read = parse_torque(cell) if cell else None
        if isinstance(read, Problem):
            cells.fail(column.name, read.code, read.message)
        return as_dict(column.field, cell)

    def write(self, record: Any, column: Column) -> str:
        """Return the reading that was kept, else that of now, where it is not the print, sign for sign."""
        said = str(getattr(record, column.field)) or read_as(record.torque)
        return "" if said == record.torque else said
