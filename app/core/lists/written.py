"""The cells of a step and of an item as a list: the way back from what `lists` reads."""

from collections.abc import Mapping

from app.core.items.kinds import Kind
from app.core.lists import columns
from app.core.lists.column import Column, Of
from app.core.lists.listed import ListedItem, ListedStep

Ties = Mapping[str, tuple[str, ...]]
"""Relation -> the ids of the rows that it names."""


def step_cells(step: ListedStep) -> dict[str, str]:
    """Return the cells of a step's row, by column."""
    own = {"step": step.name, "kind": Kind.STEP.value}
    cells = dict.fromkeys(columns.TABLE.names, "") | own
    return cells | {column.name: column.form.write(step, column) for column in columns.TABLE.of_step}


def item_cells(item: ListedItem, ties: Ties) -> dict[str, str]:
    """Return the cells of an item's row, by column."""
    cells = {column.name: _cell(column, item, ties) for column in columns.TABLE.all}
    return cells | {"step": item.step}


def _cell(column: Column, item: ListedItem, ties: Ties) -> str:
    if column.of is Of.TIE:
        return column.form.write(ties, column)
    if column.of is Of.STEP or item.kind not in column.kinds:
        return ""
    return column.form.write(item if column.of is Of.ITEM else item.detail, column)
