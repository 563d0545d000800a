"""Strength of bolts, screws and studs: property classes, grades and their size limits.

Sources: ISO 898-1 (property classes; bolts, screws and studs alike), SAE J429 (grades), ISO 3506-1
(stainless steel) and ASTM A193 (B7). Stainless steel and B7 have no proof stress: the 0.2 % stress stands in.
8.8, 9.8, 10.9, 12.9 and grades 2, 5, 8 agree with printed tables, see the tests; the other rows are from
memory of the standards.
"""

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from app.core.problem import Problem
from app.core.threads.sizes import (
    MM_PER_INCH,
    Thread,
    ThreadSystem,
    stress_area_mm2,
)

MPA_PER_PSI = 4.4482216152605 / 645.16
"""Exact: pound-force in N over square inch in mm²."""


@dataclass(frozen=True, slots=True)
class Strength:
    """The strength of one class in one span of sizes.

    Args:
        name: `8.8` or `SAE grade 5`.
        proof_mpa: Proof stress, [MPa].
        tensile_mpa: Least tensile strength, [MPa].
        up_to_mm: The largest diameter it holds for, inclusive, [mm].
        above_mm: The diameter it starts above, [mm].
    """

    name: str
    proof_mpa: float
    tensile_mpa: float
    up_to_mm: float
    above_mm: float = 0.0


def _grade(
    name: str, proof_ksi: float, tensile_ksi: float, up_to_in: float, from_in: float = 0.0
) -> Strength:
    return _inch(f"SAE grade {name}", proof_ksi, tensile_ksi, up_to_in, from_in)


def _inch(name: str, proof_ksi: float, tensile_ksi: float, up_to_in: float, from_in: float = 0.0) -> Strength:
    return Strength(
        name,
        proof_ksi * 1000 * MPA_PER_PSI,
        tensile_ksi * 1000 * MPA_PER_PSI,
        up_to_in * MM_PER_INCH,
        from_in * MM_PER_INCH,
    )


_BELOW_QUARTER = 0.249
"""The grades of SAE J429 start at 1/4 in."""

STRENGTHS: tuple[Strength, ...] = (
    Strength("4.6", 225, 400, 39),
    Strength("4.8", 310, 420, 39),
    Strength("5.6", 280, 500, 39),
    Strength("5.8", 380, 520, 39),
    Strength("6.8", 440, 600, 39),
    Strength("8.8", 580, 800, 16),
    Strength("8.8", 600, 830, 39, 16),
    Strength("9.8", 650, 900, 16),
    Strength("10.9", 830, 1040, 39),
    Strength("12.9", 970, 1220, 39),
    Strength("A2-50", 210, 500, 39),
    Strength("A2-70", 450, 700, 24),
    Strength("A2-80", 600, 800, 24),
    Strength("A4-50", 210, 500, 39),
    Strength("A4-70", 450, 700, 24),
    Strength("A4-80", 600, 800, 24),
    _grade("1", 33, 60, 1.5, _BELOW_QUARTER),
    _grade("2", 55, 74, 0.75, _BELOW_QUARTER),
    _grade("2", 33, 60, 1.5, 0.75),
    _grade("4", 65, 115, 1.5, _BELOW_QUARTER),
    _grade("5", 85, 120, 1.0, _BELOW_QUARTER),
    _grade("5", 74, 105, 1.5, 1.0),
    _grade("5.2", 85, 120, 1.0, _BELOW_QUARTER),
    _grade("7", 105, 133, 1.5, _BELOW_QUARTER),
    _grade("8", 120, 150, 1.5, _BELOW_QUARTER),
    _grade("8.1", 120, 150, 1.5, _BELOW_QUARTER),
    _grade("8.2", 120, 150, 1.0, _BELOW_QUARTER),
    _inch("B7", 105, 125, 2.5, _BELOW_QUARTER),
)
"""Sizes in order within a name. ISO 898-1 has 8.8 at 580 MPa up to and including M16; grade 2 has 55 ksi
through 3/4 in; grade 5 has 85 ksi through 1 in. Grade 4 and 8.1 are studs."""

CLASS_NAMES: tuple[str, ...] = tuple(dict.fromkeys(strength.name for strength in STRENGTHS))
_CLASS = re.compile(r"\d{1,2}[.,]\d")
_BY_NAME = re.compile(r"\b(?:A[24]\s?-\s?[578]0|B7)\b", re.IGNORECASE)
_GRADE = re.compile(r"\D*?(?:j\s?429)?\D*(\d(?:\.\d)?)\s*(?:\(.*\))?", re.IGNORECASE)
_STANDARD = re.compile(r"j\s?429", re.IGNORECASE)
_ROUNDING_MM = 0.01


class FastenerKind(StrEnum):
    """What a class is marked on: the same number means another thing on each."""

    BOLT = "bolt"
    NUT = "nut"
    STUD = "stud"


_NUT_CLASSES = {"5": "5.8", "6": "6.8", "8": "8.8", "9": "9.8", "10": "10.9", "12": "12.9"}
"""Class of a metric nut to the strongest bolt it is made for. ISO 898-2, from memory."""
_STUD_GRADES = frozenset({"SAE grade 4", "SAE grade 8.1"})
_STAINLESS_GROUP = re.compile(r"(?:[AFC][1-5])", re.IGNORECASE)
_NUT_CLASS = re.compile(r"(?:(?:property\s*)?class|cl\.?|nut)?\s*(\d{1,2})", re.IGNORECASE)
_SAYS_GRADE = re.compile(r"\b(?:gr(?:ade)?|sae)\b|j\s?429", re.IGNORECASE)


@lru_cache(maxsize=256)
def class_named(
    text: str, system: ThreadSystem | None = None, kind: FastenerKind = FastenerKind.BOLT
) -> str | Problem:
    """Return the name of a property class or grade: `8.8`, `class 10.9`, `grade 5`, `SAE J429 8`.

    Args:
        text: As it is marked or printed.
        system: The thread's family, if known: grades of SAE J429 are on inch threads, property classes on
            metric ones; a bare 8 is a grade on the one and a nut's class on the other.
        kind: What it is marked on.

    Returns:
        A member of `CLASS_NAMES`, or a `Problem` for the field `class`. A bare 5 is a grade, as a class has a
        point; a bare 8.2 or 5.2 is one too, as no class has that name. `Grade 8.8` is the class, as no grade
        has that name. A metric nut's 8 gives 8.8, the bolt it is made for.
    """
    plain = text.strip()
    if kind is FastenerKind.NUT and system is not ThreadSystem.UNIFIED and not _SAYS_GRADE.search(plain):
        nut = _NUT_CLASS.fullmatch(plain)
        if nut and nut.group(1) in _NUT_CLASSES:
            return _NUT_CLASSES[nut.group(1)]
    if _STAINLESS_GROUP.fullmatch(plain):
        return Problem(
            "class-incomplete",
            f"“{plain}” is a group of stainless steel: its strength stands behind it, such as {plain}-70.",
            "class",
        )
    name = _name_in(plain)
    if not name:
        return Problem(
            "class-unknown",
            f"“{plain[:30]}” is no class or grade known here. Known are: {', '.join(CLASS_NAMES)}.",
            "class",
        )
    return _of_its_system(name, plain, system, kind)


def _name_in(plain: str) -> str:
    by_name, number = _BY_NAME.search(plain), _CLASS.search(plain)
    if by_name:
        return re.sub(r"\s", "", by_name.group()).upper()
    if number and (name := number.group().replace(",", ".")) in CLASS_NAMES:
        return name
    grade = _GRADE.fullmatch(_STANDARD.sub(" ", plain))
    name = f"SAE grade {grade.group(1)}" if grade else ""
    return name if name in CLASS_NAMES else ""


def _of_its_system(name: str, plain: str, system: ThreadSystem | None, kind: FastenerKind) -> str | Problem:
    is_grade = name.startswith("SAE")
    if is_grade and system is ThreadSystem.METRIC:
        return Problem(
            "class-other-system",
            f"“{plain[:30]}” is a grade of inch bolts or the class of a nut; a metric bolt has a class "
            "such as 8.8.",
            "class",
        )
    if _CLASS.fullmatch(name) and system is ThreadSystem.UNIFIED:
        return Problem(
            "class-other-system",
            f"“{plain[:30]}” is a class of metric bolts; an inch bolt has a grade such as grade 5.",
            "class",
        )
    if name in _STUD_GRADES and kind is FastenerKind.NUT:
        return Problem("class-other-system", f"{name} is a stud's: a nut has no such grade.", "class")
    return name


def strength_of(
    class_text: str, thread: Thread | None, *, named: bool = True, kind: FastenerKind = FastenerKind.BOLT
) -> Strength | Problem:
    """Return the strength of a class or grade at the size of a thread.

    Args:
        class_text: As `class_named` reads it.
        thread: The thread; its diameter decides, and its family says whose grades are meant.
        named: Whether the class was printed for this thread; a class that stands in for an unknown one may be
            of the other system.
        kind: What it is marked on.

    Returns:
        The strength, or a `Problem` for `class` (unknown, not made in this size) or `thread` (missing, pipe).
    """
    name = class_named(class_text, thread.system if thread and named else None, kind)
    if isinstance(name, Problem):
        return name
    if thread is None or thread.system is ThreadSystem.PIPE:
        return Problem(
            "thread-missing", f"The strength of {name} goes with the size: give the thread.", "thread"
        )
    return strength_at(name, thread.diameter_mm)


def strength_at(name: str, diameter_mm: float) -> Strength | Problem:
    """Return the strength of a class in `CLASS_NAMES` at a diameter, [mm], limits inclusive above."""
    for strength in STRENGTHS:
        if (
            strength.name == name
            and strength.above_mm + _ROUNDING_MM < diameter_mm <= strength.up_to_mm + _ROUNDING_MM
        ):
            return strength
    return Problem("class-not-in-size", f"{name} is not made in a diameter of {diameter_mm:g} mm.", "class")


def load(area: float, stress: float, share: float = 1.0) -> float:
    """Return a share of the load that a stress area bears, in the unit of stress times area.

    Args:
        area: Stress area, [mm²] or [in²].
        stress: Proof stress or tensile strength, [MPa] or [psi].
        share: How much of it, [-]; 0.75 of proof is usual for joints that come apart again.
    """
    return area * stress * share


def proof_load_n(class_text: str, thread: Thread | None, *, named: bool = True) -> float | Problem:
    """Return the proof load of a thread in a class, [N], unrounded (printed tables round to three digits)."""
    strength = strength_of(class_text, thread, named=named)
    if isinstance(strength, Problem) or thread is None:
        return (
            strength
            if isinstance(strength, Problem)
            else Problem("thread-missing", "Give the thread.", "thread")
        )
    area = stress_area_mm2(thread)
    return area if isinstance(area, Problem) else load(area, strength.proof_mpa)
