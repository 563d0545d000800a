"""One row of a list while it is read; what is wrong with a cell is kept with its line and column."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from app.core.lists.bytes import line_label
from app.core.problem import Problem


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


@dataclass(slots=True)
class Cells:
    """A row that is being read.

    Args:
        row: What is read.
        problems: Grows with each cell that cannot be used.
    """

    row: Row
    problems: list[Problem] = field(default_factory=list)

    def raw(self, column: str) -> str:
        """Return a cell as it stands; empty where there is none."""
        return self.row.cells.get(column, "")

    def fail(self, column: str, code: str, message: str) -> None:
        """Keep what is wrong with a cell."""
        self.problems.append(Problem(code, message, line_label(self.row.line, column)))
