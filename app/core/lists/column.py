"""What a column of a list is: its name, whose it is, the field it fills, and the form of its cells."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import Enum, auto
from typing import Any, Protocol

from app.core.items.kinds import ITEM_KINDS, Kind
from app.core.lists.cells import Cells


class Of(Enum):
    """Whose field a column fills: a step's, an item's, that of the item's kind, or a tie between items."""

    STEP = auto()
    ITEM = auto()
    DETAIL = auto()
    TIE = auto()


class OnStep(Enum):
    """What becomes of a cell in the row of a step."""

    READ = auto()
    REFUSED = auto()
    PASSED_OVER = auto()


class Form(Protocol):
    """How the cells of a column are written."""

    @property
    def known(self) -> str:
        """What its cells may say, where that is a choice or a range; empty for anything."""

    def read(self, cells: Cells, column: "Column") -> Mapping[str, Any]:
        """Return the fields that a row's cell fills; none where it is empty or wrong, which is then kept."""

    def write(self, record: Any, column: "Column") -> str:
        """Return the cell from what has the field."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a list: all that reading, checking, filling, the page and the export know of it.

    Args:
        name: As an export heads it; it is read in any case, with blanks or hyphens for the underscore.
        about: What the page says of it.
        of: Whose field it fills.
        field: The name of that field; for a tie, the relation.
        form: How its cells are read and written.
        longest: The most signs of a cell.
        also: Other headings that mean it.
        kinds: The kinds of items that have the field; others keep the cell as a line of their note.
        beside: A column without which an item of these kinds keeps the cell in its note, too.
        noted_if: The only value worth a line in a note; empty: every one is.
        on_step: What becomes of it in the row of a step.
        bare: Whether a row with a step, but without kind, stays the row of a step when this is filled.
        unsaid: What a new step has where no row says it.
        always: Whether an export has it where no row fills it.
    """

    name: str
    about: str
    of: Of
    field: str
    form: Form
    longest: int = 500
    also: tuple[str, ...] = ()
    kinds: tuple[Kind, ...] = ITEM_KINDS
    beside: str = ""
    noted_if: str = ""
    on_step: OnStep = OnStep.REFUSED
    bare: bool = False
    unsaid: str | int = ""
    always: bool = True

    @property
    def help(self) -> str:
        """What the page says of it, with what its cells may say and the kinds that have it."""
        known = f": {self.form.known}" if self.form.known else ""
        whose = "" if self.kinds == ITEM_KINDS else f" ({', '.join(self.kinds)}; else kept in the note)"
        return f"{self.about}{known}{whose}"

    @property
    def words(self) -> str:
        """The name with blanks, as a line of a note begins."""
        return self.name.replace("_", " ")

    def fits(self, kind: Kind, filled: Collection[str]) -> bool:
        """Tell whether an item of this kind, in a row with these columns filled, has a field for it."""
        return kind in self.kinds and (not self.beside or self.beside in filled)
