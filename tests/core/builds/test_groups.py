"""Rows stand in groups: each once, none lost."""

from collections.abc import Mapping
from types import SimpleNamespace
from typing import Any

import pytest

from app.core.builds.groups import NO_ZONE, STEPS, begins_step, by_zone, lines_by_step, lines_by_zone
from app.core.items.kinds import Kind

BUILD: Any = SimpleNamespace(
    zones=[
        SimpleNamespace(id="z1", label="Battery", level="above"),
        SimpleNamespace(id="z2", label="Valley", level="below"),
    ],
    steps=[SimpleNamespace(id="s1", name="Hood off", name_back="Hood back on", direction="both")],
    step_back=lambda item: item.step,
)


def line(number: int, zone: str = "", step: str = "", kind: Kind = Kind.PART) -> Any:
    return SimpleNamespace(item=SimpleNamespace(number=number, zone=zone, step=step, kind=kind))


LINES = [line(3, "z2", "s1"), line(1, "z1"), line(2, "z2"), line(4, "gone", "gone"), line(0, kind=Kind.STEP)]


def numbers(groups: list[tuple[str, list[Any]]]) -> Mapping[str, list[int]]:
    return {label: [each.item.number for each in rows] for label, rows in groups}


def test_lines_stand_by_zone_in_the_drawings_order_and_steps_last() -> None:
    found = numbers(lines_by_zone(BUILD, LINES))
    assert found == {"Battery (above)": [1], "Valley (below)": [2, 3], NO_ZONE: [4], STEPS: [0]}
    assert list(found) == ["Battery (above)", "Valley (below)", NO_ZONE, STEPS]


def test_lines_stand_by_step_and_what_has_none_stands_together() -> None:
    assert numbers(lines_by_step(BUILD, LINES)) == {"Hood back on": [3], "No step yet": [1, 2, 4], STEPS: [0]}


@pytest.mark.parametrize("zones", [["z1"], ["", "nowhere"], []])
def test_no_row_is_lost_and_no_group_is_empty(zones: list[str]) -> None:
    groups = by_zone(BUILD, zones, lambda zone: zone)
    assert sorted(row for _, rows in groups for row in rows) == sorted(zones)
    assert all(rows for _, rows in groups)


def test_a_step_is_headed_once_where_its_lines_begin_and_steps_head_nothing() -> None:
    items = [line(1, step="a"), line(2, step="a"), line(3), line(4, step="a")]
    rows = [*items, line(0, step="b", kind=Kind.STEP)]
    assert begins_step(BUILD, rows) == [True, False, True, True, False]
    assert begins_step(BUILD, [line(1)]) == [True]
    assert begins_step(BUILD, []) == []
