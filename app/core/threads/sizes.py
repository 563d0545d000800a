"""Sizes of screw threads: which pitches exist, and the stress area.

Sources: metric coarse and fine pitches ISO 261 and ISO 262; UNC, UNF, UNEF and numbered sizes ASME B1.1. The
tables are from memory of these standards; the tests compare stress areas with printed tables.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import pi

from app.core.problem import Problem

MM_PER_INCH = 25.4


class ThreadSystem(StrEnum):
    """The family a thread belongs to."""

    METRIC = "metric"
    UNIFIED = "unified inch"
    PIPE = "pipe"


METRIC_COARSE: dict[float, float] = {
    1.6: 0.35, 2: 0.4, 2.5: 0.45, 3: 0.5, 3.5: 0.6, 4: 0.7, 5: 0.8, 6: 1, 7: 1, 8: 1.25, 9: 1.25, 10: 1.5,
    11: 1.5, 12: 1.75, 14: 2, 16: 2, 18: 2.5, 20: 2.5, 22: 2.5, 24: 3, 27: 3, 30: 3.5, 33: 3.5, 36: 4, 39: 4,
    42: 4.5, 45: 4.5, 48: 5, 52: 5, 56: 5.5, 60: 5.5, 64: 6,
}  # fmt: skip
"""Diameter [mm] to coarse pitch [mm]. Source: ISO 261."""

METRIC_PITCHES = frozenset(
    {0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5, 4, 4.5, 5,
     5.5, 6}
)  # fmt: skip
"""Pitches that exist, [mm]. Source: ISO 261."""

UNC: dict[str, float] = {
    "#1": 64, "#2": 56, "#3": 48, "#4": 40, "#5": 40, "#6": 32, "#8": 32, "#10": 24, "#12": 24, "1/4": 20,
    "5/16": 18, "3/8": 16, "7/16": 14, "1/2": 13, "9/16": 12, "5/8": 11, "3/4": 10, "7/8": 9, "1": 8,
    "1-1/8": 7, "1-1/4": 7, "1-3/8": 6, "1-1/2": 6, "1-3/4": 5, "2": 4.5, "2-1/4": 4.5, "2-1/2": 4,
    "2-3/4": 4, "3": 4, "3-1/4": 4, "3-1/2": 4, "3-3/4": 4, "4": 4,
}  # fmt: skip
"""Size [in] to threads per inch. Source: ASME B1.1."""

UNF: dict[str, float] = {
    "#0": 80, "#1": 72, "#2": 64, "#3": 56, "#4": 48, "#5": 44, "#6": 40, "#8": 36, "#10": 32, "#12": 28,
    "1/4": 28, "5/16": 24, "3/8": 24, "7/16": 20, "1/2": 20, "9/16": 18, "5/8": 18, "3/4": 16, "7/8": 14,
    "1": 12, "1-1/8": 12, "1-1/4": 12, "1-3/8": 12, "1-1/2": 12,
}  # fmt: skip
"""Size [in] to threads per inch. Source: ASME B1.1."""

UNEF: dict[str, float] = {
    "#12": 32, "1/4": 32, "5/16": 32, "3/8": 32, "7/16": 28, "1/2": 28, "9/16": 24, "5/8": 24, "11/16": 24,
    "3/4": 20, "13/16": 20, "7/8": 20, "15/16": 20, "1": 20, "1-1/16": 18, "1-1/8": 18, "1-3/16": 18,
    "1-1/4": 18, "1-5/16": 18, "1-3/8": 18, "1-7/16": 18, "1-1/2": 18, "1-9/16": 18,
    "1-5/8": 18, "1-11/16": 18,
}  # fmt: skip
"""Size [in] to threads per inch. Source: ASME B1.1."""

UNIFIED_SERIES: dict[str, dict[str, float]] = {"UNC": UNC, "UNF": UNF, "UNEF": UNEF}
_CONSTANT_PITCH = frozenset({4, 6, 8, 12, 14, 16, 18, 20, 24, 27, 28, 32, 36, 40, 48, 56})


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread as printed.

    Args:
        system: Its family.
        diameter_mm: The nominal diameter, [mm]; 0 for a pipe thread, whose size is a name.
        label: The size as the trade says it: `M8`, `3/8`, `#10`, `1/8` (pipe).
        pitch_mm: The pitch, [mm]; `None` where the print leaves it out.
        threads_per_inch: For unified threads, [1/in].
        series: `UNC`, `UNF`, `UNEF`, `NPT` and so on; `None` for metric, special or not printed.
        length_mm: The length under the head, [mm]; `None` where it is left out.
        length_in_inches: Whether the length was printed in inches.
        left_hand: Whether it tightens anticlockwise.
    """

    system: ThreadSystem
    diameter_mm: float
    label: str
    pitch_mm: float | None = None
    threads_per_inch: float | None = None
    series: str | None = None
    length_mm: float | None = None
    length_in_inches: bool = False
    left_hand: bool = False

    @property
    def working_pitch_mm(self) -> float | None:
        """The printed pitch, else the coarse one of the size, [mm]; `None` where there is none."""
        return self.pitch_mm or (
            METRIC_COARSE.get(self.diameter_mm) if self.system is ThreadSystem.METRIC else None
        )


def thread_problem(code: str, message: str) -> Problem:
    """Return what is wrong with a printed thread, for the field `thread`."""
    return Problem(f"thread-{code}", message, "thread")


def number_size_inches(number: int) -> float:
    """Return the diameter of a numbered size, [in]: 0.060 and 0.013 a number. Source: ASME B1.1."""
    return round(0.060 + 0.013 * number, 3)


def series_of(label: str, threads_per_inch: float) -> str | None:
    """Return `UNC`, `UNF` or `UNEF` where the pair is in that table, else `None`."""
    return next(
        (name for name, sizes in UNIFIED_SERIES.items() if sizes.get(label) == threads_per_inch), None
    )


def unified_pitch_exists(label: str, threads_per_inch: float) -> bool:
    """Return whether a unified thread of this size and pitch can exist: tabled, or finer than coarse."""
    if series_of(label, threads_per_inch):
        return True
    return threads_per_inch in _CONSTANT_PITCH and threads_per_inch > UNC.get(label, 3)


def metric_stress_area_mm2(diameter_mm: float, pitch_mm: float) -> float:
    """Return the stress area of a metric thread, [mm²]: π/4·(d − 0.9382·P)².

    Args:
        diameter_mm: Nominal diameter, [mm].
        pitch_mm: Pitch, [mm], below the diameter.

    Source: ISO 898-1, nominal stress area; the factor is 13/24·√3 = 0.938194.
    """
    return pi / 4 * (diameter_mm - 0.938194 * pitch_mm) ** 2


def unified_stress_area_in2(diameter_in: float, threads_per_inch: float) -> float:
    """Return the stress area of a unified thread, [in²]: π/4·(d − 0.9743/n)². Source: ASME B1.1.

    Args:
        diameter_in: Nominal diameter, [in].
        threads_per_inch: Threads per inch, [1/in], above 0.
    """
    return pi / 4 * (diameter_in - 0.9743 / threads_per_inch) ** 2


def stress_area_mm2(thread: Thread) -> float | Problem:
    """Return the stress area, [mm²], with the coarse pitch where none is printed.

    Returns:
        The area, or a `Problem` for pipe threads and for sizes whose pitch is not known.
    """
    pitch = thread.working_pitch_mm
    if thread.system is ThreadSystem.PIPE or pitch is None:
        return Problem("thread-no-area", f"{thread.label} has no stress area here: give the pitch.", "thread")
    if thread.threads_per_inch:
        area = unified_stress_area_in2(thread.diameter_mm / MM_PER_INCH, thread.threads_per_inch)
        return area * MM_PER_INCH**2
    return metric_stress_area_mm2(thread.diameter_mm, pitch)
