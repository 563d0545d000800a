"""Gates: each a page of its open lines by zone and its own questions, passed by name; and what follows."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.groups import lines_by_zone
from app.core.builds.missing_roles import told_missing
from app.core.builds.snapshot import Entry, Snapshot
from app.core.gates.gates import STAYS_OFF, Gate, GateState, gate_subject
from app.core.gates.measured import FIELDS, SKIPPED
from app.core.gates.rechecks import Recheck, is_late
from app.core.gates.returning import Stop
from app.core.gates.selections import clear_key, gate_plan, stays_off, why_joined
from app.core.items.kinds import Kind, rung
from app.core.items.roles import Role
from app.core.ledger.leftovers import leftovers
from app.core.problem import Problem
from app.store import crew
from app.store.gates import due_rechecks, gate_states, gates
from app.store.returning import newest_stop
from app.web.intake.fact import send_fact
from app.web.site.context import reading, snapshot, today
from app.web.site.form import status_of
from app.web.site.wording import in_dialect

bp = Blueprint("gates", __name__)
WAY_BACK = ("mating", "start", "move")
WHY = {
    "aside": "tied aside: look whether it is clear",
    "joins": "still joins engine and vehicle",
    "ends-unknown": "its ends are not described: it may join engine and vehicle",
    "planned": "was to come off before the lift",
}


@dataclass(frozen=True, slots=True)
class Ahead:
    """What stands ahead of whoever opens a page: the next gate, rechecks that are due, where work stopped."""

    gate: GateState[Entry] | None
    rechecks: tuple[Recheck, ...]
    stop: Stop | None


def ahead(session: Session, build: Snapshot, *, way_back: bool | None = None) -> Ahead:
    """Return what stands ahead.

    Args:
        session: A read transaction.
        build: The build.
        way_back: Whether to leave out the lift; by default, once something went back or the lift was passed.
    """
    known = gate_states(session, build)
    going_back = _goes_back(build) or known["lift"].is_passed if way_back is None else way_back
    keys = WAY_BACK if going_back else ("lift", *WAY_BACK)
    following = next((known[key] for key in keys if not known[key].is_green), None)
    return Ahead(following, due_rechecks(build, known["start"].facts), newest_stop(session, build.id))


def shut_before(session: Session, build: Snapshot) -> GateState[Entry] | None:
    """Return the gate of the first start while it is not green; its step stands in lists and has a card."""
    gate_state = gate_states(session, build)["start"]
    return None if gate_state.is_green else gate_state


def is_first_start(build: Snapshot, item_id: str) -> bool:
    """Tell whether a line is the step of the first start."""
    return item_id in build.step and build.step[item_id].role is Role.FIRST_START


def _goes_back(build: Snapshot) -> bool:
    kinds = {Kind.TEMPORARY, Kind.FINDING}
    return any(
        p.act and rung(e.item.kind, p.act)
        for e in build.items
        if e.item.kind not in kinds
        for p in e.state.positions
    )


@bp.get("/b/<int:nr>/gates")
def index(nr: int) -> ResponseReturnValue:
    """List the gates, each with what keeps it shut."""
    with reading() as session:
        build = snapshot(session, nr)
        known = gate_states(session, build)
        due = due_rechecks(build, known["start"].facts)
    return render_template(
        "gates/index.html", gate_states=known.values(), due=due, started=known["start"].facts.starts
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
    gate_state = gate_states(session, build)[gate.key]
    people = crew.doers(session)
    return render_template(
        "gates/show.html",
        gate_state=gate_state,
        gate=gate,
        groups=lines_by_zone(build, gate_state.lines),
        why=_why(build, gate_state),
        aside=_aside(build, gate_state) if gate.selection == "joining" else (),
        off=_off(build, gate_state) if gate.selection == "all_but" else (),
        chosen=stays_off(gate_state.facts),
        left=leftovers(build.items) if gate.key == "start" else None,
        fields=FIELDS,
        skipped=SKIPPED,
        subject=gate_subject(build.id, gate.key),
        open_ids=_open_ids(gate_state),
        people=people,
        names={person.id: person.name for person in crew.people(session)},
        today=today().isoformat(),
        missing=told_missing(build, gate_state.missing if build.steps else ()),
        problem=problem,
        stays_off_key=STAYS_OFF,
    )


def _open_ids(gate_state: GateState[Entry]) -> list[str]:
    """Return what keeps a gate shut, as a pass names it: lines, questions, roles that it misses."""
    lines = [entry.item.id for entry in gate_state.lines]
    asked = [each.question.key for each in gate_state.unanswered]
    return [*lines, *asked, *(f"role {role.value}" for role in gate_state.missing if gate_state.is_blind)]


def _why(build: Snapshot, gate_state: GateState[Entry]) -> Mapping[str, str]:
    """Return for the lift why each of its lines keeps the engine in."""
    if gate_state.gate.selection != "joining":
        return {}
    plan = gate_plan(build.steps, build.edges, build.step_edges)
    return {e.item.id: WHY[why_joined(e, build.entries, plan, gate_state.facts)] for e in gate_state.lines}


def _aside(build: Snapshot, gate_state: GateState[Entry]) -> list[tuple[Entry, str, bool]]:
    """Return everything tied aside with its question, and whether somebody said that it is clear."""
    waiting = {e.item.id for e in gate_state.lines}
    aside = [e for e in build.items if any(p.act == "aside" for p in e.state.positions)]
    return [(e, clear_key(e.item), e.item.id not in waiting) for e in aside]


def _off(build: Snapshot, gate_state: GateState[Entry]) -> list[Entry]:
    """Return what can be named to stay off at a trial start: what is open, and what was named."""
    chosen = stays_off(gate_state.facts)
    plan = gate_plan(build.steps)
    itself = plan.starts | plan.moves
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
    gate_state = gate_states(session, build)[key]
    more = set(_open_ids(gate_state)) - set(request.form.getlist("body.open"))
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


@bp.get("/b/<int:nr>/rechecks")
def after(nr: int) -> ResponseReturnValue:
    """Show what is to be looked at again after the start."""
    with reading() as session:
        build = snapshot(session, nr)
        return _after_page(session, build)


def _after_page(session: Session, build: Snapshot, problem: Problem | None = None) -> str:
    known = gate_states(session, build)["start"].facts
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
