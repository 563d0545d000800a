"""The steps of a list: named by rows of their own, by rows of their items, or by both."""

from dataclasses import dataclass, field, replace
from typing import Any

from app.core.lists.bytes import line_label
from app.core.lists.cells import Cells
from app.core.lists.listed import ListedStep
from app.core.lists.vocabulary import DIRECTIONS, HEIGHTS
from app.core.problem import Problem

_MOST_PEOPLE = 9
_MOST_MINUTES = 6000
_OF_A_STEP = frozenset({"id", "step", "height", "people", "minutes", "direction", "zone", "note"})


@dataclass(slots=True)
class Steps:
    """Gathers what the rows say of the steps.

    Args:
        listed: Name -> step, in the order in which the rows name them.
        remarks: Grows with each row of an item that says otherwise of its step.
    """

    listed: dict[str, ListedStep] = field(default_factory=dict)
    _names: dict[str, str] = field(default_factory=dict)
    remarks: list[Problem] = field(default_factory=list)
    _said_at: dict[tuple[str, str], tuple[int, bool]] = field(default_factory=dict)

    def name(self, cells: Cells) -> None:
        """Let the items of a step call it by its id, by what stands under `step`, and by its name."""
        name, key = cells.text("name") or cells.text("step"), cells.text("id")
        if not name:
            cells.fail("step", "step-nameless", "Name the step.")
            return
        names = [name, *filter(None, (cells.text("step"), key))]
        taken = next((n for n in names if self._names.get(_plain(n), name) != name), "")
        if taken or (key and _plain(name) in self._names):
            told = f"There is a step «{taken or name}» already: give this one another name."
            cells.fail("step", "step-twice", told)
        for called in names:
            self._names.setdefault(_plain(called), name)

    def say(self, cells: Cells) -> str:
        """Write down what a row says of its step, and return the step's name."""
        called = cells.text("name") if is_step(cells) else ""
        called = called or cells.text("step")
        values = {
            "height": cells.choice("height", HEIGHTS) or None,
            "people": cells.whole("people", 1, _MOST_PEOPLE),
            "minutes": cells.whole("minutes", 0, _MOST_MINUTES),
            "direction": cells.choice("direction", DIRECTIONS) or None,
        }
        if not called:
            for column in (column for column, value in values.items() if value is not None):
                cells.fail(column, "step-missing", f"«{column}» is said of a step: name the step too.")
            return ""
        name = self._names.get(_plain(called), called)
        self._names.setdefault(_plain(called), name)
        step = self.listed.get(name, ListedStep(cells.row.line, name))
        for column, value in values.items():
            if value is not None:
                step = replace(step, **{column: self._agreed(cells, step, column, value)})
        self.listed[name] = step
        return name

    def _agreed(self, cells: Cells, step: ListedStep, column: str, value: str | int) -> Any:
        """Return what holds for a step after one more row: its own row decides, else the first to say it."""
        known, own = getattr(step, column), is_step(cells)
        line, was_own = self._said_at.get((step.name, column), (cells.row.line, own))
        if known in {None, value} or (own and not was_own):
            self._said_at[step.name, column] = (cells.row.line, own or was_own)
        if known in {None, value}:
            return value
        if own and was_own:
            told = f"The step «{step.name}» has {known} in line {line}, {value} here: make them alike."
            cells.fail(column, "step-differs", told)
            return known
        # Work both ways leaves nothing undone: items of a step that differ make it that.
        kept = value if own else known if was_own or column != "direction" else "both"
        told = f"The step «{step.name}» has {known} by line {line}, {value} here: {kept} was kept."
        self.remarks.append(Problem("step-differs", told, line_label(cells.row.line, column)))
        return kept


def is_step(cells: Cells) -> bool:
    """Tell whether a row is about a step and nothing else."""
    kind = cells.row.cells.get("kind", "").lower()
    is_bare = not kind and "step" in cells.row.cells and set(cells.row.cells) <= _OF_A_STEP
    return kind in {"step", "steps"} or is_bare


def _plain(name: str) -> str:
    return name.casefold()
