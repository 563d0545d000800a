"""Milestones: lines of a build's own subject, and which of them tell of one and the same event."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from app.core.items.journal import History, Line
from app.core.phases.units import UnitKind, Units
from app.core.problem import Problem


class Verb(StrEnum):
    """What a milestone's line says."""

    HOOK_UP = "hook_up"
    RISE = "rise"
    SET_DOWN = "set_down"
    LEFT = "left"
    PARTING = "parting"
    MATING = "mating"
    LIFT_IN = "lift_in"
    LANDED = "landed"
    POWER_ON = "power_on"
    FIRST_START = "first_start"
    MOVED = "moved"
    TURN = "turn"


MILESTONE_VERBS = frozenset(verb.value for verb in Verb)
SETTLE = "choose"
"""The verb of a line that ends a dispute: `of` names the lines, `holds` the one that is true."""

APART, TOGETHER = "apart", "together"
_OF_THE_VEHICLE = frozenset({Verb.POWER_ON, Verb.FIRST_START, Verb.MOVED})
_OF_A_PAIR = frozenset({Verb.MATING, Verb.PARTING})
_MOST_ROUNDS = 99


@dataclass(frozen=True, slots=True)
class Milestone:
    """Something that happened to units.

    Args:
        units: Their ids.
        round: In which round of its engine it was said to be.
        before_record: It was so before anybody wrote anything down: no gate stood before it.
        trial: A lift-in that closes nothing.
        to: The direction, with `TURN`.
    """

    verb: Verb
    units: frozenset[str]
    round: int = 1
    before_record: bool = False
    trial: bool = False
    to: str = ""


@dataclass(frozen=True, slots=True)
class Event:
    """One milestone with all the lines that tell of it.

    Args:
        lines: Their ids, sorted.
        witnesses: Who told of it.
        open: What was open on the screens of those who marked it.
    """

    milestone: Milestone
    lines: tuple[str, ...]
    witnesses: frozenset[str] = frozenset()
    open: tuple[str, ...] = ()


def read_milestone(line: Line, units: Units) -> Milestone | Problem:
    """Return the milestone that a line tells of, or what is wrong with it; the line is kept either way."""
    verb, body = Verb(line.verb), line.body
    stated = body.get("units", ())
    named = frozenset(map(str, stated)) if isinstance(stated, list | tuple) else frozenset[str]()
    if verb in _OF_THE_VEHICLE and not named:
        named = frozenset({"vehicle"})
    if unknown := sorted(named - {unit.id for unit in units.known}):
        return Problem("unit-unknown", f"This build has no unit «{unknown[0]}».", line.id)
    nth = body.get("round", 1)
    if not isinstance(nth, int) or isinstance(nth, bool) or not 1 <= nth <= _MOST_ROUNDS:
        return Problem("round", "The round is a whole number from 1.", line.id)
    kinds = sorted(str(units.kind(unit)) for unit in named)
    if verb in _OF_A_PAIR and kinds != [UnitKind.ENGINE, UnitKind.GEARBOX]:
        return Problem("pair", "Mating and parting name one engine and one gearbox.", line.id)
    if not named or (verb not in _OF_THE_VEHICLE | {Verb.TURN} and UnitKind.VEHICLE in kinds):
        return Problem("units", "Say which engine, gearbox or subframe it was.", line.id)
    to = str(body.get("to", "")) if verb is Verb.TURN else ""
    if verb is Verb.TURN and to not in {APART, TOGETHER}:
        return Problem("direction", "Say whether it comes apart or goes together.", line.id)
    trial = verb is Verb.LIFT_IN and bool(body.get("trial"))
    return Milestone(verb, named, nth, bool(body.get("before_record")), trial, to)


@dataclass(frozen=True, slots=True)
class Told:
    """What a build's lines tell: the events, which came after which, and lines that cannot be read.

    Args:
        events: In an order in which each comes after those it had seen.
        seen: For each event the places of those whose lines its own had seen.
    """

    events: tuple[Event, ...]
    seen: tuple[frozenset[int], ...]
    problems: tuple[Problem, ...] = ()


def read_events(lines: Iterable[Line], units: Units) -> Told:
    """Return the events that are in force.

    Lines that tell the same, of which none had seen the other, or of which nothing happened to the same
    units in between, are one event with several witnesses.
    """
    history = History(lines)
    dropped = _settled(history)
    read: list[tuple[Line, Milestone]] = []
    problems: list[Problem] = []
    for line in history.in_force:
        if line.verb in MILESTONE_VERBS and line.id not in dropped:
            made = read_milestone(line, units)
            if isinstance(made, Problem):
                problems.append(made)
            else:
                read.append((line, made))
    groups: list[tuple[Milestone, list[Line]]] = []
    for line, made in read:
        same = (
            group for each, group in groups if each == made and _is_one(line, group[0], made, read, history)
        )
        if (group := next(same, None)) is not None:
            group.append(line)
        else:
            groups.append((made, [line]))
    events = tuple(_event(made, group) for made, group in groups)
    return Told(events, tuple(_seen(nth, groups, history) for nth in range(len(groups))), tuple(problems))


def _settled(history: History) -> frozenset[str]:
    """Return the lines that somebody who had seen them said are not true."""
    dropped = set()
    for line in history.in_force:
        named = line.body.get("of")
        if line.verb == SETTLE and isinstance(named, list | tuple) and line.body.get("holds") in named:
            known = {each.id for each in history.lines}
            dropped |= {each for each in map(str, named) if each in known and history.saw(line.id, each)} - {
                str(line.body["holds"])
            }
    return frozenset(dropped)


def _is_one(
    line: Line, other: Line, made: Milestone, read: list[tuple[Line, Milestone]], history: History
) -> bool:
    if not history.saw(line.id, other.id):
        return True
    return not any(
        between != made
        and between.units & made.units
        and history.saw(line.id, each.id)
        and history.saw(each.id, other.id)
        for each, between in read
    )


def _event(made: Milestone, lines: list[Line]) -> Event:
    said = {
        str(each)
        for line in lines
        if isinstance(named := line.body.get("open"), list | tuple)
        for each in named
    }
    people = frozenset(line.person for line in lines if line.person)
    return Event(made, tuple(sorted(line.id for line in lines)), people, tuple(sorted(said)))


def _seen(nth: int, groups: list[tuple[Milestone, list[Line]]], history: History) -> frozenset[int]:
    mine = groups[nth][1]
    return frozenset(
        at
        for at, (_, theirs) in enumerate(groups)
        if at != nth and any(history.saw(a.id, b.id) for a in mine for b in theirs)
    )
