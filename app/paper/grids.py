"""Label sheets: where the labels lie, and which of them make a pair of halves."""

import json
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from app.store.db.files import bundled

# A label at least this wide carries both halves of a tag and is cut in two, [mm].
_CUT_FROM_MM = 70.0


class Area(NamedTuple):
    """A rectangle on a sheet, measured from the sheet's upper left corner, [mm]."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge, [mm]."""
        return self.left + self.width


@dataclass(frozen=True, slots=True)
class Grid:
    """One kind of label sheet; all lengths in mm, from the upper left corner.

    Args:
        name: The stable word for it.
        title: What people choose by.
        source: Where the measures come from.
    """

    name: str
    title: str
    sheet_width_mm: float
    sheet_height_mm: float
    columns: int
    rows: int
    label_width_mm: float
    label_height_mm: float
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    source: str


@cache
def label_grids() -> dict[str, Grid]:
    """Return the known label sheets by name, in the order in which they are offered."""
    rows = json.loads((bundled("seed_data") / "label_grids.json").read_text(encoding="utf-8"))
    return {row["name"]: Grid(**row) for row in rows}


def tag_areas(grid: Grid, *, halves: bool) -> tuple[tuple[Area, ...], ...]:
    """Return for each code of one sheet the areas that its tags fill, row by row.

    One area for a single tag. Two for halves, A then B: a wide label is cut in two, narrow ones are
    taken as neighbours, so that nothing has to be cut; an odd last column then stays blank.
    """
    labels = [[_label(grid, row, column) for column in range(grid.columns)] for row in range(grid.rows)]
    if not halves:
        return tuple((label,) for row in labels for label in row)
    if grid.label_width_mm >= _CUT_FROM_MM:
        return tuple(_cut(label) for row in labels for label in row)
    return tuple(pair for row in labels for pair in zip(row[::2], row[1::2], strict=False))


def _label(grid: Grid, row: int, column: int) -> Area:
    left = grid.left_mm + column * grid.pitch_x_mm
    top = grid.top_mm + row * grid.pitch_y_mm
    return Area(left, top, grid.label_width_mm, grid.label_height_mm)


def _cut(label: Area) -> tuple[Area, Area]:
    width = label.width / 2
    return label._replace(width=width), label._replace(left=label.left + width, width=width)
