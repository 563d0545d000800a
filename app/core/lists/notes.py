"""What a row says and its kind has no field for: lines at the end of the note, and cells again from them."""

from collections.abc import Mapping

from app.core.items.kinds import Kind
from app.core.lists.cells import Cells
from app.core.lists.text import Row
from app.core.lists.vocabulary import ONE_TIME

_HOMELESS = ("thread", "length_mm", "grade", "torque", "torque_source", "one_time")


def noted(note: str, cells: Mapping[str, str]) -> str:
    """Return a note with the cells that have no field, each on a line of its own."""
    lines = [f"{column.replace('_', ' ')}: {cells[column]}" for column in _HOMELESS if cells.get(column)]
    return "\n".join(filter(None, [note, *lines]))


def parted_note(kind: Kind, note: str) -> tuple[str, dict[str, str]]:
    """Return a note without the lines that `noted` wrote, and these as cells; other words stay there."""
    lines, cells = note.split("\n"), dict[str, str]()
    homeless = [column for column in _HOMELESS if kind is not Kind.FASTENER or column == "length_mm"]
    for column in reversed(homeless):
        label, _, text = lines[-1].partition(": ") if lines else ("", "", "")
        if label == column.replace("_", " ") and text.strip() == text and text:
            cells[column] = text
            lines.pop()
    return ("\n".join(lines), cells) if cells and _is_read(cells) else (note, {})


def _is_read(said: Mapping[str, str]) -> bool:
    """Tell whether a list takes these cells, so that words of a person that look alike stay words."""
    cells = Cells(Row(1, said))
    cells.torque()
    cells.thread()
    for column in said:
        cells.text(column)
    return not cells.problems and ONE_TIME.get(said.get("one_time", "yes").casefold()) == "yes"
