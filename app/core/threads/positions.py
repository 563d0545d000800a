"""Bolts of one group that differ in length, and holes that need care."""

import re
from collections.abc import Iterator, Mapping, Sequence
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


@dataclass(frozen=True, slots=True)
class LengthProblem(Problem):
    """A bolt in the wrong hole; `at` are the numbers of the holes."""

    at: tuple[int, ...] = ()


_SAME_LENGTH_MM = 0.5
_LONGEST_MM = 1000.0
_MOST_HOLES = 999
_PART = re.compile(r"\s*([a-z]+|[0-9][0-9\s,-]*?)\s*:\s*([0-9][0-9\s,.-]*?)\s*(?:mm)?\s*")
_STEPS = {
    Hole.BLIND: "clean and dry it first. Oil or water under the bolt can crack the casting.",
    Hole.WET: "it opens into coolant or oil. Put the sealant of the manual on the thread.",
}


def hole_steps(positions: Sequence[Position]) -> tuple[str, ...]:
    """Return what to do before the bolts of blind and wet holes go in, one sentence a kind of hole."""
    found = []
    for hole, step in _STEPS.items():
        numbers = [place.number for place in positions if place.hole is hole]
        if len(numbers) == 1:
            found.append(f"Hole {numbers[0]}: {step}")
        elif numbers:
            found.append(f"Holes {', '.join(map(str, numbers))}, each: {step}")
    return tuple(found)


def is_mixed(positions: Sequence[Position]) -> bool:
    """Return whether the bolts of a group differ in length."""
    lengths = [place.length_mm for place in positions if place.length_mm is not None]
    return bool(lengths) and max(lengths) - min(lengths) > _SAME_LENGTH_MM


def length_problems(
    positions: Sequence[Position], fitted_mm: Mapping[int, float]
) -> tuple[LengthProblem, ...]:
    """Return what is wrong with the lengths found in the holes: swaps name both holes, the rest one.

    Args:
        positions: The holes with the length that belongs there.
        fitted_mm: The length found in a hole by its number, [mm]; holes not yet filled are left out.
    """
    wrong = [place for place in positions if _differs(place, fitted_mm.get(place.number))]
    swapped: set[int] = set()
    found: list[LengthProblem] = []
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


def _swap(one: Position, other: Position, fitted_mm: Mapping[int, float]) -> LengthProblem:
    longer, shorter = (one, other) if fitted_mm[one.number] > fitted_mm[other.number] else (other, one)
    return LengthProblem(
        "lengths-swapped",
        f"The bolts of holes {one.number} and {other.number} are swapped: hole {longer.number} holds "
        f"{fitted_mm[longer.number]:g} mm where {longer.length_mm:g} belongs and can bottom out, "
        f"hole {shorter.number} holds {fitted_mm[shorter.number]:g} where {shorter.length_mm:g} belongs.",
        f"positions {one.number} and {other.number}",
        (one.number, other.number),
    )


def _wrong_length(place: Position, fitted_mm: Mapping[int, float]) -> LengthProblem:
    fitted = fitted_mm[place.number]
    danger = " Too long: it can bottom out or break through." if fitted > (place.length_mm or fitted) else ""
    return LengthProblem(
        "length-wrong",
        f"Hole {place.number} holds a bolt of {fitted:g} mm; {place.length_mm:g} mm belongs there.{danger}",
        f"position {place.number}",
        (place.number,),
    )


def read_lengths(text: str, holes: int) -> dict[int, float] | Problem:
    """Read lengths by hole, such as `1-8: 25; 9 10: 45 mm`.

    Args:
        text: Hole numbers, a colon, the length under the head, [mm]; several with semicolons.
        holes: How many holes the group has; 0 where nobody counted yet.

    Returns:
        The length by hole number, [mm], or a `Problem` for the field `lengths`.
    """
    found: dict[int, float] = {}
    for part in _parts(text):
        read = _PART.fullmatch(part)
        numbers = _numbers(read[1], holes) if read else None
        length = _length(read[2]) if read else None
        if numbers is None or length is None:
            return Problem(
                "lengths-unreadable",
                f"“{part.strip()[:30]}” cannot be read: write hole numbers, a colon and the length in mm, "
                f"such as 1-8: 25; 9 10: 45.{_counted(holes)}",
                "lengths",
            )
        if double := sorted(numbers & found.keys()):
            return Problem("hole-double", f"Hole {double[0]} has two lengths. Keep one.", "lengths")
        found |= dict.fromkeys(sorted(numbers), length)
    return found


def read_holes(text: str, holes: int) -> dict[int, Hole] | Problem:
    """Read which holes need care, such as `blind: 1-4; wet: 9`.

    Args:
        text: `blind` or `wet`, a colon, hole numbers; several with semicolons. A word alone means all holes.
        holes: How many holes the group has; 0 where nobody counted yet.

    Returns:
        The kind of hole by its number, or a `Problem` for the field `holes`.
    """
    found: dict[int, Hole] = {}
    for part in _parts(text):
        word, colon, numbers = (each.strip() for each in part.partition(":"))
        hole = Hole(word) if word in set(Hole) else None
        named = _numbers(numbers, holes) if colon else set(range(1, max(1, holes) + 1))
        if hole is None or named is None:
            return Problem(
                "holes-unreadable",
                f"“{part.strip()[:30]}” cannot be read: write blind or wet, a colon and hole numbers, "
                f"such as blind: 1-4; wet: 9.{_counted(holes)}",
                "holes",
            )
        found |= dict.fromkeys(sorted(named), hole)
    return found


def positions_of(lengths: str, holes: str, count: int) -> tuple[Position, ...]:
    """Return the holes of a group with what is known of them; text that cannot be read says nothing."""
    length, hole = read_lengths(lengths, count), read_holes(holes, count)
    length_by = {} if isinstance(length, Problem) else length
    by_number = {} if isinstance(hole, Problem) else hole
    return tuple(
        Position(n, length_by.get(n), by_number.get(n, Hole.THROUGH))
        for n in range(1, max([count, *length_by, *by_number]) + 1)
    )


def _parts(text: str) -> Iterator[str]:
    return (part.lower() for part in text.split(";") if part.strip())


def _numbers(text: str, holes: int) -> set[int] | None:
    """Return the holes of `1-8` or `9, 10`; `None` where it is no such list or names a hole there is not."""
    found: set[int] = set()
    for word in text.replace(",", " ").split():
        first, _, last = word.partition("-")
        if not (first.isdecimal() and (last or first).isdecimal()):
            return None
        low, high = int(first[:4]), int((last or first)[:4])
        if not 1 <= low <= high <= (holes or _MOST_HOLES):
            return None
        found |= set(range(low, high + 1))
    return found or None


def _length(text: str) -> float | None:
    try:
        length = float(text.replace(",", "."))
    except ValueError:
        return None
    return length if 0 < length <= _LONGEST_MM else None


def _counted(holes: int) -> str:
    return f" This group has holes 1 to {holes}." if holes else ""
