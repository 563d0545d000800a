"""The steps of a list: named by rows of their own, by rows of their items, or by both."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from app.core.list_cells import DIRECTIONS, HEIGHTS, Cells
from app.core.listed import ListedStep

_MOST_PEOPLE = 9
_MOST_MINUTES = 6000
_OF_A_STEP = frozenset({"id", "step", "height", "people", "minutes", "direction", "zone", "note"})


@dataclass(slots=True)
class Steps:
    """Gathers what the rows say of the steps.

    Args:
        listed: Name -> step, in the order in which the rows name them.
    """

    listed: dict[str, ListedStep] = field(default_factory=dict)
    _names: dict[str, str] = field(default_factory=dict)
    _said_at: dict[tuple[str, str], int] = field(default_factory=dict)

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
        self.listed[name] = replace(step, **self._agreed(cells, step, values))
        return name

    def _agreed(
        self, cells: Cells, step: ListedStep, values: Mapping[str, str | int | None]
    ) -> dict[str, Any]:
        """Return what a row adds to what is known of its step; what differs is named."""
        added: dict[str, Any] = {}
        for column, value in values.items():
            known = getattr(step, column)
            if value is not None and known is None:
                added[column] = value
                self._said_at[step.name, column] = cells.row.line
            elif value not in {None, known}:
                before = f"«{step.name}» has {known} in line {self._said_at[step.name, column]}, {value} here"
                cells.fail(column, "step-differs", f"The step {before}: make them alike, or two steps of it.")
        return added


def is_step(cells: Cells) -> bool:
    """Tell whether a row is about a step and nothing else."""
    kind = cells.row.cells.get("kind", "").lower()
    is_bare = not kind and "step" in cells.row.cells and set(cells.row.cells) <= _OF_A_STEP
    return kind in {"step", "steps"} or is_bare


def _plain(name: str) -> str:
    return name.casefold()
