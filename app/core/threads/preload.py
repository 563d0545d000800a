"""Torque and clamp force: T = K·F·d, with K as a band."""

from dataclasses import dataclass
from enum import StrEnum


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


def clamp_n(torque_nm: float, nut_factor: float, diameter_mm: float) -> float:
    """Return the clamp force of a torque, [N]: F = T / (K·d).

    Args:
        torque_nm: Torque, [N·m].
        nut_factor: K, [-], above 0.
        diameter_mm: Nominal diameter, [mm], above 0.

    Source: Shigley, Mechanical Engineering Design, 9th edition, section 8-8.
    """
    return torque_nm / (nut_factor * diameter_mm / 1000)


def torque_for_clamp_nm(clamp: float, nut_factor: float, diameter_mm: float) -> float:
    """Return the torque for a clamp force, [N·m]: T = K·F·d.

    Args:
        clamp: Clamp force, [N].
        nut_factor: K, [-].
        diameter_mm: Nominal diameter, [mm].
    """
    return nut_factor * clamp * diameter_mm / 1000
