"""What a row says and its kind has no field for: lines at the end of the note, and cells again from them."""

from collections.abc import Mapping

from app.core.items.kinds import Kind
from app.core.lists import columns
from app.core.lists.cells import Cells, Row


def noted(note: str, cells: Mapping[str, str]) -> str:
    """Return a note with the cells that have no field, each on a line of its own."""
    homeless = columns.TABLE.homeless if cells else ()
    lines = [f"{column.words}: {cells[column.name]}" for column in homeless if cells.get(column.name)]
    return "\n".join(filter(None, [note, *lines]))


def parted_note(kind: Kind, note: str) -> tuple[str, dict[str, str]]:
    """Return a note without the lines that `noted` wrote, and these as cells; other words stay there."""
    if not note:
        return note, {}
    lines, cells = note.split("\n"), dict[str, str]()
    for column in reversed(columns.TABLE.homeless):
        if column.fits(kind, ()):
            continue
        label, _, text = lines[-1].partition(": ") if lines else ("", "", "")
        if label == column.words and text.strip() == text and text:
            cells[column.name] = text
            lines.pop()
    return ("\n".join(lines), cells) if cells and _is_read(cells) else (note, {})


def _is_read(said: Mapping[str, str]) -> bool:
    """Tell whether a list takes these cells, so that words of a person that look alike stay words."""
    cells = Cells(Row(1, said))
    for name in said:
        column = columns.TABLE.named[name]
        value = column.form.read(cells, column).get(column.field)
        if column.noted_if and value != column.noted_if:
            return False
    return not cells.problems
