"""Gates of a build: what the program brings, what the journal says of them, what a line about one may be."""

import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.builds.gates import gate_keys, gate_round, next_gate, state_of
from app.core.builds.snapshot import Entry, Snapshot
from app.core.gates.gate_state import GateState
from app.core.gates.gates import VERBS, Gate, GateFacts, Start, fold_gate, gate_subject, read_gate
from app.core.gates.measured import Question, answer_problem
from app.core.gates.rechecks import General, Recheck, rechecks
from app.core.gates.returning import Ageing, read_ageing
from app.core.items.bodies.base import unreadable
from app.core.items.bodies.gates import LONGEST_TEXT, Answer, Pass, is_km
from app.core.items.bodies.gates import Recheck as RecheckBody
from app.core.items.bodies.gates import Start as StartBody
from app.core.items.bodies.milestones import FirstStart
from app.core.items.journal import Line
from app.core.ledger.leftovers import goes_back
from app.core.phases.milestones import MILESTONE_VERBS, SETTLE, Verb
from app.core.problem import Problem
from app.store.db.files import bundled
from app.store.db.models import JournalRow
from app.store.journal import as_line

_NO_KM = Problem("km", "The counter must be a whole number of km.", "km")
_LONGEST_VALUE = 800_000
_YEARS = range(1900, 2200)


@cache
def _table(name: str) -> dict[str, Any]:
    return json.loads((bundled("seed_data") / f"{name}.json").read_text(encoding="utf-8"))  # type: ignore[no-any-return] # an object, by the data's own test


@cache
def gates() -> tuple[Gate, ...]:
    """Return the gates that the program brings, in the order in which they come."""
    return tuple(read_gate(stored) for stored in _table("gates")["gates"])


@cache
def gates_by_key() -> dict[str, Gate]:
    """Return the same by their keys."""
    return {gate.key: gate for gate in gates()}


@cache
def general_rechecks() -> tuple[General, ...]:
    """Return the rechecks that every build gets after its first start."""
    return tuple(General(**stored) for stored in _table("gates")["rechecks"])


@cache
def ageing() -> tuple[Ageing, ...]:
    """Return what ages while a vehicle stands."""
    return tuple(read_ageing(stored) for stored in _table("ageing")["ages"])


def facts(session: Session, build: Snapshot) -> dict[str, GateFacts]:
    """Return what the journal says of each gate of a build in this round, by the gate's key."""
    subjects = {gate_subject(build.id, gate.key): gate.key for gate in gates()}
    found: dict[str, list[Line]] = {key: [] for key in subjects.values()}
    rows = select(JournalRow).where(JournalRow.subject.in_(subjects)).order_by(JournalRow.seq)
    for row in session.scalars(rows):
        found[subjects[row.subject]].append(as_line(row))
    told = {key: fold_gate(lines, gate_round(build, key)) for key, lines in found.items()}
    return told | {"start": replace(told["start"], starts=_starts(build, told["start"].starts))}


def _starts(build: Snapshot, told: Iterable[Start]) -> tuple[Start, ...]:
    """Return the starts that are in force: those told to the gate, and the milestones of other days."""
    lines = {line.id: line for line in build.milestones}
    found = [
        Start(line.id, line.person, line.record.on or line.at[:10], line.record.km)
        for event in build.phases.events
        if event.milestone.verb is Verb.FIRST_START
        for line in [lines[event.lines[0]]]
        if isinstance(line.record, FirstStart)
    ]
    by_day = {start.on: start for start in found}
    known = tuple(
        replace(each, km=each.km or by_day[each.on].km) if each.on in by_day else each for each in told
    )
    return (*known, *(start for day, start in by_day.items() if day not in {each.on for each in known}))


def gate_states(session: Session, build: Snapshot) -> dict[str, GateState[Entry]]:
    """Return every gate that a build has as it stands, by its key."""
    told = facts(session, build)
    return {key: state_of(gates_by_key()[key], build, told[key]) for key in gate_keys(build)}


def gate_state(session: Session, build: Snapshot, key: str) -> GateState[Entry]:
    """Return one gate of a build as it stands, whether the build has it or not."""
    return state_of(gates_by_key()[key], build, facts(session, build)[key])


def gate_ahead(session: Session, build: Snapshot) -> GateState[Entry] | None:
    """Return the next gate that is not green; worked out once a moment."""
    if "gate ahead" not in build.memo:
        build.memo["gate ahead"] = next_gate(gates_by_key(), build, facts(session, build))
    found: GateState[Entry] | None = build.memo["gate ahead"]
    return found


def due_rechecks(build: Snapshot, known: GateFacts, *, done: bool = False) -> tuple[Recheck, ...]:
    """Return what is to be looked at again after the starts in force, the soonest first.

    Args:
        build: Its items may ask for rechecks of their own.
        known: What the gate "start" was told: the starts, own rechecks, and what was looked at by name.
        done: Return what was looked at already instead.
    """
    found = [each for each in _all_rechecks(build, known) if (each.key in known.answers) is done]
    return tuple(sorted(found, key=lambda each: (each.due is None, each.due or date.min, each.after_km or 0)))


def _all_rechecks(build: Snapshot, known: GateFacts) -> list[Recheck]:
    items = [entry.item for entry in build.items if goes_back(entry)]
    found = [
        replace(each, key=f"{start.line}/{each.key}")
        for start in known.starts
        if (day := stored_day(start.on))
        for each in rechecks(items, day, read_reading(start.km), general_rechecks())
    ]
    return found + [
        Recheck(f"own/{own.line}", own.text, "", stored_day(own.due), None, read_reading(own.km))
        for own in known.rechecks
    ]


def stored_day(text: str) -> date | None:
    """Return a day from its stored form; `None` where it is none, or of no year that anybody means."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if day.year in _YEARS else None


def read_reading(text: str) -> float | None:
    """Return a counter's reading, [km]; `None` where nobody read it."""
    return float(text) if text.isascii() and text.isdigit() else None


def check_fact(line: Line) -> Problem | None:
    """Return what makes a line about a gate or a whole build unreadable, or `None`."""
    subject_type = line.subject.partition(":")[0]
    of_builds = MILESTONE_VERBS | {SETTLE, "stop"}
    allowed = {"gate": VERBS | {"undo"}, "build": of_builds | {"undo"}}.get(subject_type, frozenset())
    own = VERBS | of_builds
    if (subject_type in {"gate", "build"} and line.verb not in allowed) or (
        subject_type not in {"gate", "build"} and line.verb in own
    ):
        return Problem("verb", "This cannot be said of it. Reload the page.", "verb")
    match line.record:
        case Answer() as said:
            return _check_answer(said)
        case Pass() as said:
            return _check_pass(said, line.person)
        case StartBody() as said:
            return _check_start(said)
        case RecheckBody() as said:
            return _check_recheck(said)
        case _:
            return None


def _check_answer(said: Answer) -> Problem | None:
    if said.anew:
        return None
    if not said.question:
        return unreadable("question")
    if len(json.dumps(said.value)) > _LONGEST_VALUE:
        return unreadable("value")
    asked = _question(said.gate, said.question)
    wrong = answer_problem(asked, said.value) if asked else None
    # A measurement outside its limits is a fact and keeps the gate shut; a load above the plate is refused.
    return wrong if wrong and wrong.code != "outside" else None


def _question(gate: str, key: str) -> Question | None:
    return next((q for g in gates() if g.key == gate for q in g.questions if q.key == key), None)


def _check_pass(said: Pass, person: str) -> Problem | None:
    """Refuse a pass without a name, and one with open lines without a reason: it would say nothing."""
    if not person:
        return Problem("person", "A gate is passed by a person: choose who passes it.", "person")
    if said.open and not said.reason.strip():
        return Problem("reason", f"{len(said.open)} are open: say why you go on.", "reason")
    return None


def _check_start(said: StartBody) -> Problem | None:
    if stored_day(said.on) is None:
        return Problem("on", "Say on which day it started, such as 2031-05-04.", "on")
    return None if is_km(said.km) else _NO_KM


def _check_recheck(said: RecheckBody) -> Problem | None:
    if not 0 < len(said.text.strip()) <= LONGEST_TEXT:
        return Problem("text", "Say what to look at again.", "text")
    if said.due and stored_day(said.due) is None:
        return Problem("due", "The day must be a day, such as 2031-05-04.", "due")
    return None if is_km(said.km) else _NO_KM
