"""What a list does to a build, and what was said about its rows, as a person reads it."""

from collections.abc import Iterable, Sequence

from app.core.problem import Problem
from app.store.lists.lists import Effect


def effect_text(effect: Effect) -> list[str]:
    """Return what is put in, one sentence for each sort of thing."""
    counted = [f"{effect.items} {'item' if effect.items == 1 else 'items'}, off in the order of the rows."]
    if effect.renewals:
        counted.append(f"{effect.renewals} new for what is replaced, each in the place of the old one.")
    named = (
        ("New steps", effect.steps),
        ("Steps changed", effect.edited),
        ("New zones", effect.zones),
        ("New places", effect.places),
    )
    counted += [f"{label}: {', '.join(names)}." for label, names in named if names]
    if effect.there:
        counted.append(f"{effect.there} of the items are there already, by kind, name and step: now twice.")
    return counted


def remark_text(problems: Iterable[Problem]) -> list[str]:
    """Return each with its line and column."""
    return [
        f"{problem.where}: {problem.message}" if problem.where else problem.message for problem in problems
    ]


def shortened(lines: Sequence[str], most: int) -> tuple[list[str], int]:
    """Return the first lines and how many more there are."""
    return list(lines[:most]), max(0, len(lines) - most)
