"""Rows of a page in groups: by zone in the order of the drawing, or by step in the order of taking off."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.kinds import Kind
from app.core.items.roles import Way
from app.core.items.step_names import step_name

T = TypeVar("T")
Groups = list[tuple[str, list[T]]]
"""Each group's heading and its rows; none without rows."""

NO_ZONE, NO_STEP, STEPS = "No zone yet", "No step yet", "Steps on the way back"


def by_zone(build: Snapshot, rows: Sequence[T], zone_of: Callable[[T], str]) -> Groups[T]:
    """Return rows by zone, in their order; what has no zone comes last.

    A zone is called by its label, and by its level too: what lies under another is another place.
    """
    labels = {zone.id: f"{zone.label} ({zone.level})" for zone in build.zones}
    return _grouped(labels | {"": NO_ZONE}, rows, zone_of)


def lines_by_zone(build: Snapshot, lines: Iterable[Entry]) -> Groups[Entry]:
    """Return lines by zone and number; steps, which have none, come last."""
    things, steps = _parted(lines)
    return by_zone(build, things, lambda line: line.item.zone) + steps


def lines_by_step(build: Snapshot, lines: Iterable[Entry]) -> Groups[Entry]:
    """Return lines by the step in which they came off, and by number; steps themselves come last."""
    things, steps = _parted(lines)
    labels = {step.id: step_name(step, Way.BACK) for step in build.steps} | {"": NO_STEP}
    return _grouped(labels, things, lambda line: line.item.step) + steps


def begins_step(build: Snapshot, lines: Sequence[Entry]) -> list[bool]:
    """Return for each line of the way back whether it is the first of its step; steps begin none."""
    steps = [build.step_back(line.item) for line in lines]
    return [
        line.item.kind is not Kind.STEP and step != before
        for line, step, before in zip(lines, steps, [None, *steps], strict=False)
    ]


def _parted(lines: Iterable[Entry]) -> tuple[list[Entry], Groups[Entry]]:
    known = sorted(lines, key=lambda line: line.item.number)
    steps = [line for line in known if line.item.kind is Kind.STEP]
    return [line for line in known if line.item.kind is not Kind.STEP], [(STEPS, steps)] if steps else []


def _grouped(labels: Mapping[str, str], rows: Iterable[T], key_of: Callable[[T], str]) -> Groups[T]:
    found: dict[str, list[T]] = {key: [] for key in labels}
    for row in rows:
        key = key_of(row)
        found[key if key in found else ""].append(row)
    return [(labels[key], here) for key, here in found.items() if here]
