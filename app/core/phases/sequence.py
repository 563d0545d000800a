"""Going through the milestones one after the other: rounds, who has left, and what cannot have been."""

from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import Any

from app.core.phases.milestones import Event, Milestone, Verb
from app.core.phases.registers import HOOK, PAIR, PLACE, Place, Register, at_first, pairs_of, writes_of
from app.core.phases.units import NEW, UnitKind, Units


@dataclass(frozen=True, slots=True)
class Untrue:
    """A milestone that cannot have been: `code` says why; its lines are kept."""

    event: Event
    code: str


def walk(events: Iterable[Event], units: Units) -> tuple[dict[str, int], dict[str, bool]]:
    """Go through the events: the round of each unit, and who has left."""
    rounds = {unit.id: 1 for unit in units.known}
    has_left = {unit.id: unit.label == NEW for unit in units.known}
    lifted_in: set[str] = set()
    for event in events:
        made = event.milestone
        for unit in made.units:
            if made.verb is Verb.LIFT_IN:
                lifted_in.add(unit)
            if made.verb in {Verb.RISE, Verb.SET_DOWN, Verb.LEFT}:
                has_left[unit] = True
            if made.verb is Verb.RISE and unit in lifted_in:
                rounds[unit] += 1
                lifted_in.discard(unit)
    return rounds, has_left


def untrue_among(events: Sequence[Event], seen: Sequence[AbstractSet[int]], units: Units) -> list[Untrue]:
    """Return which events cannot have been.

    What nobody had seen who told of an event may have been before it or after it: only what is wrong both
    ways is said to be untrue, whatever the lines are called and in whichever order they arrived.

    Args:
        events: Each after those it had seen.
        seen: Beside them, the places of those whose lines its own had seen.
        units: Of the build.
    """
    found = []
    for at, event in enumerate(events):
        if event.milestone.before_record:
            continue
        known = [n for n in range(at) if n in seen[at]]
        beside = [n for n in range(len(events)) if n != at and n not in seen[at] and at not in seen[n]]
        codes = [
            _why_untrue_after([events[n] for n in before], event.milestone, units)
            for before in ((known, sorted({*known, *beside})) if beside else (known,))
        ]
        if all(codes):
            found.append(Untrue(event, codes[0]))
    return found


def _why_untrue_after(before: Sequence[Event], made: Milestone, units: Units) -> str:
    """Return why a milestone cannot have been after these; empty where it can."""
    here = at_first(units)
    for event in before:
        here |= writes_of(event.milestone, units)
    return _why_untrue(made, here, units, walk(before, units)[0])


def _why_untrue(
    made: Milestone, here: Mapping[Register, Any], units: Units, rounds: Mapping[str, int]
) -> str:
    """Return why a milestone contradicts what was told before it; empty where it does not."""
    movable = [unit for unit in made.units if (PLACE, unit) in here]
    at = {here[PLACE, unit] for unit in movable}
    hooked = [here[HOOK, unit] for unit in movable]
    together = [here[PAIR, *pair] for pair in pairs_of(units) if set(pair) <= made.units]
    wrong: Mapping[Verb, tuple[tuple[bool, str], ...]] = {
        Verb.HOOK_UP: ((Place.GONE in at, "is-gone"),),
        Verb.RISE: ((Place.GONE in at, "is-gone"), (Place.HANGING in at, "hangs-already")),
        Verb.SET_DOWN: ((Place.IN in at, "not-risen"),),
        Verb.LIFT_IN: (
            (Place.GONE in at, "is-gone"),
            (Place.IN in at, "in-already"),
            (_is_taken(made, here, units), "other-in"),
        ),
        Verb.LANDED: ((at != {Place.IN}, "not-lifted-in"), (False in hooked, "landed-already")),
        Verb.MATING: (
            (True in together, "mated-already"),
            (Place.GONE in at, "is-gone"),
            (at == {Place.IN, Place.BENCH}, "not-together"),
        ),
        Verb.PARTING: ((False in together, "apart-already"),),
        Verb.FIRST_START: ((_is_engineless(here, units), "no-engine-in"),),
        Verb.MOVED: ((not here[Verb.FIRST_START.value,], "not-started"),),
    }
    found = next((code for is_wrong, code in wrong.get(made.verb, ()) if is_wrong), "")
    late = movable and made.round > max(rounds[unit] for unit in movable) + (made.verb is Verb.RISE)
    return found or ("round-ahead" if late else "")


def _is_taken(made: Milestone, here: Mapping[Register, Any], units: Units) -> bool:
    """Tell whether another of a kind is still where one is lifted in."""
    return any(
        other.kind is units.kind(unit) and other.id not in made.units and here[PLACE, other.id] is Place.IN
        for unit in made.units
        for other in units.known
        if other.kind is not UnitKind.VEHICLE
    )


def _is_engineless(here: Mapping[Register, Any], units: Units) -> bool:
    engines = units.of_kind(UnitKind.ENGINE)
    return bool(engines) and not any(
        here[PLACE, unit.id] is Place.IN and not here[HOOK, unit.id] for unit in engines
    )
