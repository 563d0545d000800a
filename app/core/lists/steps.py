"""The steps of a list: named by rows of their own, by rows of their items, or by both."""

from dataclasses import dataclass, field, replace
from typing import Any

from app.core.lists import columns
from app.core.lists.bytes import line_label
from app.core.lists.cells import Cells
from app.core.lists.column import Column
from app.core.lists.listed import ListedStep
from app.core.problem import Problem


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
        called, key = text_of(cells, "step"), text_of(cells, "id")
        name = text_of(cells, "name") or called
        if not name:
            cells.fail("step", "step-nameless", "Name the step.")
            return
        names = [name, *filter(None, (called, key))]
        taken = next((n for n in names if self._names.get(_plain(n), name) != name), "")
        if taken or (key and _plain(name) in self._names):
            told = f"There is a step «{taken or name}» already: give this one another name."
            cells.fail("step", "step-twice", told)
        for each in names:
            self._names.setdefault(_plain(each), name)

    def say(self, cells: Cells) -> str:
        """Write down what a row says of its step, and return the step's name."""
        called = text_of(cells, "name") if is_step(cells) else ""
        called = called or text_of(cells, "step")
        values = dict[str, str | int]()
        for column in columns.TABLE.of_step:
            if cells.raw(column.name):
                values |= column.form.read(cells, column)
        if not called:
            for name in (column.name for column in columns.TABLE.of_step if column.field in values):
                cells.fail(name, "step-missing", f"«{name}» is said of a step: name the step too.")
            return ""
        name = self._names.get(_plain(called), called)
        self._names.setdefault(_plain(called), name)
        step = self.listed.get(name, ListedStep(cells.row.line, name))
        for column in columns.TABLE.of_step:
            if column.field in values:
                agreed = self._agreed(cells, step, column, values[column.field])
                step = replace(step, **{column.field: agreed})
        self.listed[name] = step
        return name

    def _agreed(self, cells: Cells, step: ListedStep, column: Column, value: str | int) -> Any:
        """Return what holds for a step after one more row: its own row decides, else the first to say it."""
        known, own = getattr(step, column.field), is_step(cells)
        line, was_own = self._said_at.get((step.name, column.name), (cells.row.line, own))
        if known in {None, value} or (own and not was_own):
            self._said_at[step.name, column.name] = (cells.row.line, own or was_own)
        if known in {None, value}:
            return value
        if own and was_own:
            told = f"The step «{step.name}» has {known} in line {line}, {value} here: make them alike."
            cells.fail(column.name, "step-differs", told)
            return known
        # Work both ways leaves nothing undone: items of a step that differ make it that.
        kept = value if own else known if was_own or column.field != "direction" else "both"
        told = f"The step «{step.name}» has {known} by line {line}, {value} here: {kept} was kept."
        self.remarks.append(Problem("step-differs", told, line_label(cells.row.line, column.name)))
        return kept


def text_of(cells: Cells, name: str) -> str:
    """Return the words of a column that holds words; empty where there are none."""
    column = columns.TABLE.named[name]
    return str(column.form.read(cells, column).get(column.field, "")) if cells.raw(name) else ""


def is_step(cells: Cells) -> bool:
    """Tell whether a row is about a step and nothing else."""
    kind = cells.raw("kind").lower()
    is_bare = not kind and "step" in cells.row.cells and cells.row.cells.keys() <= columns.TABLE.bare
    return kind in {"step", "steps"} or is_bare


def _plain(name: str) -> str:
    return name.casefold()
