import pytest

from app.paper.grids import Area, Grid, label_grids, tag_areas
from app.paper.qr import too_small

GRIDS = list(label_grids().values())


def areas(grid: Grid, *, halves: bool) -> list[Area]:
    return [area for places in tag_areas(grid, halves=halves) for area in places]


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.name)
@pytest.mark.parametrize("halves", [True, False])
def test_every_tag_lies_on_the_sheet_apart_from_the_others_and_fits_its_square(
    grid: Grid, *, halves: bool
) -> None:
    placed = areas(grid, halves=halves)
    for area in placed:
        assert area.left >= 0
        assert area.top >= 0
        assert area.right <= grid.sheet_width_mm
        assert area.top + area.height <= grid.sheet_height_mm
        assert too_small(29, area.width, area.height, 300) is None
    for one in placed:
        for other in placed:
            beside = one.right <= other.left + 1e-9 or other.right <= one.left + 1e-9
            below = one.top + one.height <= other.top + 1e-9 or other.top + other.height <= one.top + 1e-9
            assert one is other or beside or below


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.name)
def test_a_grid_stands_in_the_middle_of_its_sheet_and_names_its_source(grid: Grid) -> None:
    last = areas(grid, halves=False)[-1]
    assert grid.left_mm == pytest.approx(grid.sheet_width_mm - last.right, abs=1.5)
    assert grid.top_mm == pytest.approx(grid.sheet_height_mm - last.top - last.height, abs=1.5)
    assert grid.source


def test_narrow_labels_carry_one_half_each_and_wide_ones_both() -> None:
    a4, letter = label_grids()["a4-40"], label_grids()["letter-20"]
    assert len(tag_areas(a4, halves=False)) == 40
    assert len(tag_areas(a4, halves=True)) == 20
    assert len(tag_areas(letter, halves=False)) == 20
    assert len(tag_areas(letter, halves=True)) == 20


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.name)
def test_the_halves_of_a_tag_are_neighbours_in_one_row(grid: Grid) -> None:
    for half_a, half_b in tag_areas(grid, halves=True):
        assert half_a.top == half_b.top
        assert 0 <= half_b.left - half_a.right < 3
