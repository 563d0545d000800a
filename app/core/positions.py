"""Bolts of one group that differ in length, and holes that need care."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from app.core.problem import Problem


class Hole(StrEnum):
    """Where the thread ends."""

    THROUGH = "through"
    BLIND = "blind"
    WET = "wet"


@dataclass(frozen=True, slots=True)
class Position:
    """One hole of a group.

    Args:
        number: From 1, as on the drawing.
        length_mm: The length of its bolt under the head, [mm]; `None` where it is not known.
        hole: Where the thread ends.
    """

    number: int
    length_mm: float | None = None
    hole: Hole = Hole.THROUGH


_SAME_LENGTH_MM = 0.5
_STEPS = {
    Hole.THROUGH: "",
    Hole.BLIND: "Hole {}: clean and dry it first. Oil or water under the bolt can crack the casting.",
    Hole.WET: "Hole {}: it opens into coolant or oil. Put the sealant of the manual on the thread.",
}


def hole_steps(positions: Sequence[Position]) -> tuple[str, ...]:
    """Return what to do before the bolts of blind and wet holes go in, one sentence a hole."""
    return tuple(_STEPS[place.hole].format(place.number) for place in positions if _STEPS[place.hole])


def is_mixed(positions: Sequence[Position]) -> bool:
    """Return whether the bolts of a group differ in length."""
    lengths = [place.length_mm for place in positions if place.length_mm is not None]
    return bool(lengths) and max(lengths) - min(lengths) > _SAME_LENGTH_MM


def length_problems(positions: Sequence[Position], fitted_mm: Mapping[int, float]) -> tuple[Problem, ...]:
    """Return what is wrong with the lengths found in the holes: swaps name both holes, the rest one.

    Args:
        positions: The holes with the length that belongs there.
        fitted_mm: The length found in a hole by its number, [mm]; holes not yet filled are left out.
    """
    wrong = [place for place in positions if _differs(place, fitted_mm.get(place.number))]
    swapped: set[int] = set()
    found: list[Problem] = []
    for one, other in combinations(wrong, 2):
        if not {one.number, other.number} & swapped and _are_swapped(one, other, fitted_mm):
            swapped |= {one.number, other.number}
            found.append(_swap(one, other, fitted_mm))
    return (*found, *(_wrong_length(place, fitted_mm) for place in wrong if place.number not in swapped))


def _differs(place: Position, fitted: float | None) -> bool:
    return (
        fitted is not None and place.length_mm is not None and abs(fitted - place.length_mm) > _SAME_LENGTH_MM
    )


def _are_swapped(one: Position, other: Position, fitted_mm: Mapping[int, float]) -> bool:
    return not _differs(one, fitted_mm[other.number]) and not _differs(other, fitted_mm[one.number])


def _swap(one: Position, other: Position, fitted_mm: Mapping[int, float]) -> Problem:
    longer, shorter = (one, other) if fitted_mm[one.number] > fitted_mm[other.number] else (other, one)
    return Problem(
        "lengths-swapped",
        f"The bolts of holes {one.number} and {other.number} are swapped: hole {longer.number} holds "
        f"{fitted_mm[longer.number]:g} mm where {longer.length_mm:g} belongs and can bottom out, "
        f"hole {shorter.number} holds {fitted_mm[shorter.number]:g} where {shorter.length_mm:g} belongs.",
        f"positions {one.number} and {other.number}",
    )


def _wrong_length(place: Position, fitted_mm: Mapping[int, float]) -> Problem:
    fitted = fitted_mm[place.number]
    danger = " Too long: it can bottom out or break through." if fitted > (place.length_mm or fitted) else ""
    return Problem(
        "length-wrong",
        f"Hole {place.number} holds a bolt of {fitted:g} mm; {place.length_mm:g} mm belongs there.{danger}",
        f"position {place.number}",
    )
