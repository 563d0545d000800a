"""What a milestone makes true: where units are, what carries them, which are mated, what the vehicle did."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Any

from app.core.phases.milestones import Milestone, Verb
from app.core.phases.units import NEW, UnitKind, Units


class Place(StrEnum):
    """Where an engine, a gearbox or a subframe is."""

    IN = "in"
    HANGING = "hanging"
    BENCH = "bench"
    GONE = "gone"


Register = tuple[str, ...]
"""What an event changes: `("place", unit)`, `("hook", unit)`, `("trial", unit)`, `("pair", engine, gearbox)`,
`("direction", unit)`, `("power_on",)`, `("first_start",)`, `("moved",)`."""

PLACE, HOOK, TRIAL, PAIR, DIRECTION = "place", "hook", "trial", "pair", "direction"
MATED = "mated"
_PUTS: Mapping[Verb, tuple[Place | None, bool]] = {
    Verb.HOOK_UP: (None, True),
    Verb.RISE: (Place.HANGING, True),
    Verb.SET_DOWN: (Place.BENCH, False),
    Verb.LEFT: (Place.GONE, False),
    Verb.LIFT_IN: (Place.IN, True),
    Verb.LANDED: (Place.IN, False),
}
OF_THE_VEHICLE = (Verb.POWER_ON, Verb.FIRST_START, Verb.MOVED)


def _first_place(label: str) -> Place:
    return Place.BENCH if label == NEW else Place.IN


def pairs_of(units: Units) -> list[tuple[str, str]]:
    """Return each engine with each gearbox."""
    return [
        (engine.id, box.id)
        for engine in units.of_kind(UnitKind.ENGINE)
        for box in units.of_kind(UnitKind.GEARBOX)
    ]


def at_first(units: Units) -> dict[Register, Any]:
    """Return what holds before anything was told: what is in the vehicle is together."""
    label = {unit.id: unit.label for unit in units.known}
    found: dict[Register, Any] = {(verb.value,): False for verb in OF_THE_VEHICLE}
    for unit in units.known:
        if unit.kind is not UnitKind.VEHICLE:
            found |= {
                (PLACE, unit.id): _first_place(unit.label),
                (HOOK, unit.id): False,
                (TRIAL, unit.id): False,
            }
        found[DIRECTION, unit.id] = ""
    for engine, box in pairs_of(units):
        found[PAIR, engine, box] = label[engine] != NEW and label[box] != NEW
    return found


def writes_of(made: Milestone, units: Units) -> dict[Register, Any]:
    """Return what a milestone makes true."""
    if made.verb is Verb.TURN:
        return {(DIRECTION, unit): made.to for unit in made.units}
    if made.verb in OF_THE_VEHICLE:
        return {(made.verb.value,): True}
    if made.verb in {Verb.MATING, Verb.PARTING}:
        engine, box = sorted(made.units, key=lambda unit: str(units.kind(unit)))
        return {(PAIR, engine, box): made.verb is Verb.MATING}
    place, hook = _PUTS[made.verb]
    found: dict[Register, Any] = {}
    for unit in made.units:
        found[HOOK, unit] = hook
        if place is not None:
            found[PLACE, unit] = place
        if made.verb in {Verb.RISE, Verb.SET_DOWN, Verb.LEFT, Verb.LIFT_IN}:
            found[TRIAL, unit] = made.trial
    if made.verb is Verb.RISE:
        found |= {(verb.value,): False for verb in OF_THE_VEHICLE}
        found |= {(PAIR, *pair): False for pair in pairs_of(units) if len(made.units & set(pair)) == 1}
    return found
