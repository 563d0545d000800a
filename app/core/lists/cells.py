"""The cells of one row of a list, read one by one; what is wrong is kept with its line and column."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite

from app.core.items.kinds import Kind
from app.core.lists.bytes import line_label
from app.core.lists.text import Row
from app.core.lists.vocabulary import KIND_WORDS, NO_FIGURE, NOTHING, kind_named
from app.core.problem import Problem
from app.core.threads.text import Thread, parse_thread
from app.core.torque.text import parse_torque

_LONGEST = {
    "id": 60,
    "step": 80,
    "zone": 60,
    "name": 120,
    "thread": 60,
    "grade": 20,
    "torque_source": 120,
    "place": 400,
    "note": 2000,
}
_AS_THEY_ARE = frozenset({"id", "kind", "name", "note"})
_LONGEST_TYPE = 200
_LONGEST_LENGTH_MM = 2000
_SAME_LENGTH_MM = 0.05


@dataclass(slots=True)
class Cells:
    """A row that is being read.

    Args:
        row: What is read.
        problems: Grows with each cell that cannot be used.
    """

    row: Row
    problems: list[Problem] = field(default_factory=list)

    def fail(self, column: str, code: str, message: str) -> None:
        """Keep what is wrong with a cell."""
        self.problems.append(Problem(code, message, line_label(self.row.line, column)))

    def text(self, column: str) -> str:
        """Return a cell's text on one line (a note keeps its lines); one that is too long is wrong."""
        cell = self.row.cells.get(column, "")
        if not cell or (column not in _AS_THEY_ARE and cell.casefold() in NOTHING):
            return ""
        cell = re.sub(r"\r\n?", "\n", cell) if column == "note" else re.sub(r"\s*[\r\n\t]+\s*", " ", cell)
        longest = _LONGEST.get(column, 500)
        if len(cell) > longest:
            self.fail(column, "too-long", f"This is longer than {longest} signs: shorten it.")
        return cell

    def whole(self, column: str, low: int, high: int) -> int | None:
        """Return a whole number from `low` to `high`; nothing where the cell is empty or wrong."""
        cell = self.text(column)
        if not cell:
            return None
        number = _number(cell.lower().removesuffix("min").strip())
        if number is None or number != int(number) or not low <= number <= high:
            told = f"«{cell[:40]}» is no whole number from {low} to {high}."
            self.fail(column, "number", told)
            return None
        return int(number)

    def choice(self, column: str, words: Mapping[str, str]) -> str:
        """Return what one of some words stands for; empty where the cell is empty or wrong."""
        cell = self.text(column)
        plain = re.sub(r"[\s_-]+", " ", cell).lower()
        if not cell or plain in words:
            return words.get(plain, "")
        known = ", ".join(dict.fromkeys(words.values()))
        self.fail(column, "word-unknown", f"«{cell[:40]}» is not known here. Known are: {known}.")
        return ""

    def kind(self) -> tuple[Kind, str] | None:
        """Return the kind and the type, such as `connection: coolant hose`; nothing where it is wrong."""
        cell = self.text("kind")
        word, _, item_type = (part.strip() for part in cell.partition(":"))
        found = kind_named(word)
        if len(item_type) > _LONGEST_TYPE:
            self.fail("kind", "too-long", f"The item_type is longer than {_LONGEST_TYPE} signs: shorten it.")
        if found:
            return found[0], item_type or found[1]
        if cell:
            known = ", ".join([*Kind, *KIND_WORDS])
            self.fail("kind", "kind-unknown", f"«{cell[:40]}» is no kind. Kinds are: {known}.")
        else:
            self.fail("kind", "kind-missing", f"Say what kind of thing this is: {', '.join(Kind)}.")
        return None

    def torque(self) -> str:
        """Return the torque as it is printed, or `NO_FIGURE`; a number without a unit is wrong."""
        cell = self.text("torque")
        if cell.lower() == NO_FIGURE:
            return NO_FIGURE
        read = parse_torque(cell) if cell else None
        if isinstance(read, Problem):
            self.fail("torque", read.code, read.message)
        return cell

    def thread(self) -> str:
        """Return the thread with its length, where it has both."""
        cell, length = self.text("thread"), self.length_mm()
        read = parse_thread(cell) if cell else None
        if isinstance(read, Problem):
            self.fail("thread", read.code, read.message)
        if length is None or not isinstance(read, Thread):
            return cell
        if read.length_mm is not None and abs(read.length_mm - length) > _SAME_LENGTH_MM:
            self.fail(
                "length_mm", "length-differs", f"«{cell}» says {read.length_mm:g} mm, not {length:g} mm."
            )
            return cell
        joined = joined_thread(cell, length)
        if not joined:
            self.fail("length_mm", "length-alone", f"«{cell}» takes no length: say it in the note.")
        return joined

    def length_mm(self) -> float | None:
        """Return the length under the head, [mm]."""
        cell = self.text("length_mm")
        number = _number(cell.lower().removesuffix("mm").strip()) if cell else None
        if cell and (number is None or not 0 < number <= _LONGEST_LENGTH_MM):
            self.fail("length_mm", "number", f"«{cell[:40]}» is no length from 0 to {_LONGEST_LENGTH_MM} mm.")
            return None
        return number

    def names(self, column: str) -> tuple[str, ...]:
        """Return the ids that a cell names, several parted by semicolons."""
        parts = (part.strip() for part in re.split(r"[;\n]", self.row.cells.get(column, "")))
        return tuple(dict.fromkeys(part for part in parts if part and part.casefold() not in NOTHING))


def _number(text: str) -> float | None:
    """Return a number with a point or a comma; nothing where the text is none."""
    if not re.fullmatch(r"[+-]?\d{1,12}(?:[.,]\d{1,12})?", text, re.ASCII):
        return None
    number = float(text.replace(",", "."))
    return number if isfinite(number) else None


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
