"""Gates: each a page of its open lines by zone and its own questions, passed by name; and what follows."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.gates import gate_round, is_behind
from app.core.builds.groups import lines_by_zone
from app.core.builds.missing_roles import told_missing
from app.core.builds.snapshot import Entry, Snapshot
from app.core.gates.by_phase import HOOK_UP, LIFT, MOVE, START, TRIAL
from app.core.gates.departures import Departure
from app.core.gates.gate_state import GateState
from app.core.gates.gates import STAYS_OFF, Gate, clear_key, gate_subject, stays_off
from app.core.gates.measured import FIELDS, SKIPPED
from app.core.gates.rechecks import Recheck, is_late
from app.core.gates.returning import Stop
from app.core.items.roles import Role, steps_with
from app.core.ledger.leftovers import leftovers
from app.core.problem import Problem
from app.core.wording.gates import WHY_OPEN, acceptance_text, departure_text, first_text, ledger_text
from app.store import crew
from app.store.gates import due_rechecks, facts, gate_ahead, gate_state, gate_states, gates
from app.store.returning import newest_stop
from app.web.intake.fact import send_fact
from app.web.site.context import reading, snapshot, today
from app.web.site.form import status_of
from app.web.site.wording import in_dialect

bp = Blueprint("gates", __name__)


@dataclass(frozen=True, slots=True)
class Ahead:
    """What stands ahead of whoever opens a page: the next gate, rechecks that are due, where work stopped."""

    gate: GateState[Entry] | None
    rechecks: tuple[Recheck, ...]
    stop: Stop | None


def ahead(session: Session, build: Snapshot) -> Ahead:
    """Return what stands ahead."""
    told = facts(session, build)
    return Ahead(
        gate_ahead(session, build), due_rechecks(build, told["start"]), newest_stop(session, build.id)
    )


_GUARDS: Mapping[Role, str] = MappingProxyType({Role.FIRST_START: START, Role.MOVE: MOVE})
"""The gate before the act that a step is; such steps stand in lists and have a card."""


def shut_before(session: Session, build: Snapshot, items: Iterable[str]) -> dict[str, GateState[Entry]]:
    """Return for those lines that are the first start or the first drive the gate, while it is not green."""
    steps = [build.step[each] for each in items if each in build.step]
    gates_of = {step.id: _GUARDS[step.role] for step in steps if step.role in _GUARDS}
    found = {step: gate_state(session, build, key) for step, key in gates_of.items()}
    return {step: state for step, state in found.items() if not state.is_green}


@bp.get("/b/<int:nr>/gates")
def index(nr: int) -> ResponseReturnValue:
    """List the gates, each with what keeps it shut."""
    with reading() as session:
        build = snapshot(session, nr)
        known = gate_states(session, build)
        told = facts(session, build)[START]
        due = due_rechecks(build, told)
    behind = {key for key in known if is_behind(key, build)}
    return render_template(
        "gates/index.html", gate_states=known.values(), behind=behind, due=due, started=told.starts
    )


@bp.get("/b/<int:nr>/gates/<gate>")
def show(nr: int, gate: str) -> ResponseReturnValue:
    """Show a gate: what is open by zone, what it asks, who passed it."""
    with reading() as session:
        build = snapshot(session, nr)
        return _page(session, build, _named(gate))


def _named(key: str) -> Gate:
    found = next((gate for gate in gates() if gate.key == key), None)
    return found or abort(404)


def _page(session: Session, build: Snapshot, gate: Gate, problem: Problem | None = None) -> str:
    state = gate_state(session, build, gate.key)
    people = crew.doers(session)
    return render_template(
        "gates/show.html",
        gate_state=state,
        gate=gate,
        groups=lines_by_zone(build, state.lines),
        why={each.line.item.id: WHY_OPEN[each.why] for each in state.open_lines if each.why in WHY_OPEN},
        aside=_aside(build, state) if gate.key in {HOOK_UP, LIFT} else (),
        off=_off(build, state) if gate.key == TRIAL else (),
        chosen=stays_off(state.facts),
        ledger=[_Told(ledger_text(a.question, is_yes=a.is_yes), a.is_yes) for a in state.look.answered],
        departing=[_departing(build, each) for each in state.look.departures],
        first=[first_text(word) for word in state.look.missing],
        contradictions=len(state.look.disputes) + len(state.look.untrue),
        is_behind=is_behind(gate.key, build),
        nth=gate_round(build, gate.key),
        left=leftovers(build.items) if gate.key == START else None,
        fields=FIELDS,
        skipped=SKIPPED,
        subject=gate_subject(build.id, gate.key),
        open_ids=state.open_ids,
        people=people,
        names={person.id: person.name for person in crew.people(session)},
        missing=told_missing(build, state.missing if build.steps else ()),
        problem=problem,
        stays_off_key=STAYS_OFF,
    )


@dataclass(frozen=True, slots=True)
class _Told:
    """What the ledger answers."""

    text: str
    is_yes: bool


@dataclass(frozen=True, slots=True)
class _Departing:
    """A critical thing that does not go back as it came off: in which way, and whose yes is still asked."""

    entry: Entry
    what: str
    asked: str
    is_alone: bool


def _departing(build: Snapshot, found: Departure) -> _Departing:
    entry = build.entries[found.item]
    return _Departing(entry, departure_text(found.what), acceptance_text(found.missing), found.alone)


def _aside(build: Snapshot, state: GateState[Entry]) -> list[tuple[Entry, str, bool]]:
    """Return everything tied back with its question, and whether somebody said that it is clear."""
    waiting = {each.line.item.id for each in state.open_lines}
    aside = [e for e in build.items if any(p.act == "aside" for p in e.state.positions)]
    asked = [(e, clear_key(e.item.id), e.item.id not in waiting) for e in aside]
    return [(e, key, clear) for e, key, clear in asked if not clear or key in state.facts.answers]


def _off(build: Snapshot, state: GateState[Entry]) -> list[Entry]:
    """Return what can be named to stay off at a trial start: what is open, and what was named."""
    chosen = stays_off(state.facts)
    itself = steps_with(build.steps, Role.FIRST_START, Role.MOVE)
    found = [
        e for e in build.entries.values() if (e.is_open or e.item.id in chosen) and e.item.id not in itself
    ]
    return sorted(found, key=lambda e: e.item.number)


@bp.post("/b/<int:nr>/gates/<gate>")
def submit(nr: int, gate: str) -> ResponseReturnValue:
    """Write one line about a gate from a form: an answer, a pass, a start, an undo."""
    found = next((each for each in gates() if each.key == gate), None)
    key = found.key if found else "start"
    with reading() as session:
        build = snapshot(session, nr)
        problem = _newly_open(session, build, key) if request.form.get("verb") == "pass" else None
    problem = problem or send_fact(build.id, gate_subject(build.id, key), done=_done_text)
    if problem:
        with reading() as session:
            return _page(session, snapshot(session, nr), _named(key), problem), status_of(problem)
    return redirect(url_for("gates.show", nr=nr, gate=key))


def _newly_open(session: Session, build: Snapshot, key: str) -> Problem | None:
    """Refuse a pass from a page that did not yet show all that is open."""
    more = set(gate_state(session, build, key).open_ids) - set(request.form.getlist("body.open"))
    if not more:
        return None
    return Problem(
        "more-open", f"{len(more)} more are open than your page showed. Look at them first.", "pass"
    )


def _done_text(verb: str, body: Mapping[str, Any]) -> str:
    if verb == "pass":
        n = len(body.get("open", ()))
        return f"Passed with {n} open: the gate stays red." if n else "Passed."
    return {"start": "The start is written down; what to look at again is below.", "undo": "Taken back."}.get(
        verb, "Written down."
    )


@bp.post("/b/<int:nr>/gates/<gate>/accept/<item_id>")
def accept(nr: int, gate: str, item_id: str) -> ResponseReturnValue:
    """Write down that somebody accepts that a critical thing does not go back as it came off."""
    with reading() as session:
        build = snapshot(session, nr)
    found = build.entries.get(item_id) or abort(404)
    if problem := send_fact(build.id, found.subject, done=lambda _verb, _body: "Accepted."):
        with reading() as session:
            return _page(session, snapshot(session, nr), _named(gate), problem), status_of(problem)
    return redirect(url_for("gates.show", nr=nr, gate=gate))


@bp.get("/b/<int:nr>/rechecks")
def after(nr: int) -> ResponseReturnValue:
    """Show what is to be looked at again after the start."""
    with reading() as session:
        build = snapshot(session, nr)
        return _after_page(session, build)


def _after_page(session: Session, build: Snapshot, problem: Problem | None = None) -> str:
    known = facts(session, build)[START]
    day = today()
    due = due_rechecks(build, known)
    looked = {key: answer for key, answer in known.answers.items() if "/" in key}
    return render_template(
        "gates/after.html",
        due=[(each, is_late(each, day)) for each in due],
        looked=[
            (each, looked[each.key]) for each in due_rechecks(build, known, done=True) if each.key in looked
        ],
        facts=known,
        subject=gate_subject(build.id, "start"),
        people=crew.doers(session),
        names={person.id: person.name for person in crew.people(session)},
        problem=problem,
    )


@bp.post("/b/<int:nr>/rechecks")
def after_submit(nr: int) -> ResponseReturnValue:
    """Write down that something was looked at again, or what else is to be."""
    with reading() as session:
        build = snapshot(session, nr)
    problem = send_fact(build.id, gate_subject(build.id, "start"), done=_done_text)
    if problem:
        with reading() as session:
            return _after_page(session, snapshot(session, nr), problem), status_of(problem)
    due = request.form.get("body.due", "")
    if due and due < today().isoformat():
        flash(in_dialect("Its day is past: it is kept, and stands as late."), "problem")
    return redirect(url_for("gates.after", nr=nr))
