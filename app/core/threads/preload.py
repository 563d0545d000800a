"""Torque and clamp force: T = K·F·d, with K as a band, and the long form from friction."""

from dataclasses import dataclass
from enum import StrEnum
from math import isfinite, pi, sqrt

from app.core.problem import Problem


class Friction(StrEnum):
    """What is on the thread and under the head."""

    DRY = "dry"
    OILED = "oiled"
    ZINC = "zinc plated, dry"
    PHOSPHATE = "phosphated and oiled"
    PASTE = "anti-seize paste"
    WET_THREADLOCKER = "wet threadlocker"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class NutFactor:
    """A band of the nut factor K.

    Args:
        low: The most slippery case, [-].
        high: The stiffest case, [-].
        source: Where the band is from.
    """

    low: float
    high: float
    source: str


_TABLE = "table of nut factors, https://www.zipfastener.com/engineering-data/"
_LOAD_CELL = "load cell, 7/8-9 grade 5, https://securitylocknut.com/tension-testing-lubrication/"
NUT_FACTORS: dict[Friction, NutFactor] = {
    Friction.DRY: NutFactor(0.18, 0.27, f"{_TABLE}: dry steel 0.18 to 0.27"),
    Friction.OILED: NutFactor(0.10, 0.26, f"{_TABLE}: machine oil 0.10 to 0.26; {_LOAD_CELL}: 0.125 to 0.20"),
    Friction.ZINC: NutFactor(0.17, 0.35, f"{_TABLE}: zinc 0.17 to 0.35"),
    Friction.PHOSPHATE: NutFactor(0.15, 0.22, f"{_TABLE}: phosphate and oil 0.15 to 0.22"),
    Friction.PASTE: NutFactor(
        0.12, 0.17, f"0.12 to 0.16, https://mechconcepts.tech/bolt-torque-calculation/; {_LOAD_CELL}: 0.17"
    ),
    Friction.WET_THREADLOCKER: NutFactor(
        0.12, 0.22, "common practice, from memory: wet threadlocker slides like light oil"
    ),
    Friction.UNKNOWN: NutFactor(0.10, 0.35, "the widest of the bands above"),
}


def clamp_n(torque_nm: float, nut_factor: float, diameter_mm: float) -> float | Problem:
    """Return the clamp force of a torque, [N]: F = T / (K·d).

    Args:
        torque_nm: Torque, [N·m], above 0.
        nut_factor: K, [-], above 0.
        diameter_mm: Nominal diameter, [mm], above 0.

    Source: Shigley, Mechanical Engineering Design, 9th edition, section 8-8.
    """
    bad = _not_above_zero(torque=torque_nm, nut_factor=nut_factor, diameter=diameter_mm)
    return bad or torque_nm / (nut_factor * diameter_mm / 1000)


def torque_for_clamp(nut_factor: float, clamp: float, diameter: float) -> float | Problem:
    """Return the torque for a clamp force: T = K·F·d, in the unit of force times the unit of diameter."""
    return (
        _not_above_zero(nut_factor=nut_factor, clamp=clamp, diameter=diameter)
        or nut_factor * clamp * diameter
    )


def nut_factor_of(torque: float, clamp: float, diameter: float) -> float | Problem:
    """Return K from a measured torque and clamp force, [-]; torque in the unit of force times diameter."""
    return _not_above_zero(torque=torque, clamp=clamp, diameter=diameter) or torque / (clamp * diameter)


def torque_from_friction(
    clamp: float,
    diameter: float,
    pitch: float,
    minor_diameter: float,
    thread_friction: float,
    collar_friction: float,
    collar_factor: float = 0.625,
) -> float | Problem:
    """Return the torque for a clamp force from the friction of thread and collar, in force times length.

    Args:
        clamp: Clamp force.
        diameter: Nominal diameter.
        pitch: Pitch, in the unit of the diameter.
        minor_diameter: Minor diameter; the mean of it and the nominal one carries the thread friction.
        thread_friction: Coefficient at the thread, [-].
        collar_friction: Coefficient under the head or nut, [-].
        collar_factor: Mean collar diameter over twice the nominal diameter, [-].

    Source: Shigley, Mechanical Engineering Design, 9th edition, equation 8-26, thread angle 60°.
    """
    bad = _not_above_zero(clamp=clamp, diameter=diameter, pitch=pitch, minor_diameter=minor_diameter)
    if bad:
        return bad
    mean = (diameter + minor_diameter) / 2
    rise = pitch / (pi * mean)
    drag = thread_friction * 2 / sqrt(3)
    if rise * drag >= 1:
        return Problem(
            "friction-too-high", "With so much friction the thread cannot be turned.", "thread_friction"
        )
    thread = mean / 2 * (rise + drag) / (1 - rise * drag)
    return clamp * (thread + collar_friction * collar_factor * diameter)


def minor_diameter_of(minor_area: float) -> float:
    """Return the minor diameter from the minor area, in the root of its unit."""
    return sqrt(4 * minor_area / pi)


def stress(force: float, area: float) -> float:
    """Return force over area, in their units: lbf and in² give psi, N and mm² give MPa."""
    return force / area


_NEXT_TO_NOTHING = 1e-12
"""Smaller numbers are a slip too, and would divide by zero."""


def _not_above_zero(**values: float) -> Problem | None:
    for field, value in values.items():
        if not (isfinite(value) and value > _NEXT_TO_NOTHING):
            return Problem(
                f"{field}-not-above-zero", f"The {field.replace('_', ' ')} must be above zero.", field
            )
    return None
