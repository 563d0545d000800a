"""Where each engine and gearbox is: told by milestones, settled where people differ; and the routes."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session
from wtforms import HiddenField, RadioField, StringField
from wtforms.validators import InputRequired, Length

from app.core.builds.gates import gate_round
from app.core.builds.proposed import proposals
from app.core.builds.snapshot import Snapshot
from app.core.items.journal import History
from app.core.phases.milestones import MILESTONE_VERBS, Event, read_milestone
from app.core.phases.next_milestones import Offer, next_milestone, other_milestones
from app.core.phases.proposed import Proposal
from app.core.phases.routes import Route
from app.core.phases.swap import Swap, change_problem, chosen_swap
from app.core.phases.units import UnitKind, Units
from app.core.problem import Problem
from app.core.wording.consistency import untrue_text
from app.core.wording.phases import ROUTE_BACK, ROUTE_OUT, button_text, milestone_text, where_texts
from app.store import crew
from app.store.gates import facts, gate_state
from app.store.journal import append
from app.store.plan.builds import set_swap
from app.web.intake.fact import send_fact
from app.web.site.context import now_text, owner_only, reading, snapshot, today, unit_of_work, writer
from app.web.site.form import Form, choices, read_number, status_of

bp = Blueprint("phases", __name__)
NOT_PASSED = "not passed"
"""What stands open where nothing keeps a gate shut and nobody has passed it."""
YES_NO = (("yes", "Yes"), ("no", "No"))


class RouteForm(Form):
    """How the engine leaves and how one comes back; nothing is chosen for anybody."""

    out = RadioField(
        "How does the engine come out?",
        choices=choices((route.value, text) for route, text in ROUTE_OUT.items()),
        validators=[InputRequired("Choose how the engine comes out.")],
    )
    back = RadioField(
        "How does an engine go in?",
        choices=choices((route.value, text) for route, text in ROUTE_BACK.items()),
        validators=[InputRequired("Choose how an engine goes in.")],
    )
    new_engine = RadioField(
        "Does another engine go in?",
        choices=choices(YES_NO),
        validators=[InputRequired("Say whether another engine goes in.")],
    )
    gearbox = RadioField(
        "Does the engine bolt to a gearbox?",
        choices=choices(YES_NO),
        validators=[InputRequired("Say whether there is a gearbox.")],
    )
    old_name = StringField("What you call the engine that comes out", [Length(max=60)])
    new_name = StringField("What you call the engine that goes in", [Length(max=60)])
    rev = HiddenField()

    def swap(self) -> Swap:
        """Return what was chosen."""
        chosen = chosen_swap(
            Route(self.out.data),
            Route(self.back.data),
            new_engine=self.new_engine.data == "yes",
            gearbox=self.gearbox.data == "yes",
        )
        names = {
            chosen.units.outgoing(): (self.old_name.data or "").strip(),
            chosen.units.incoming(): (self.new_name.data or self.old_name.data or "").strip(),
        }
        if chosen.units.incoming() == chosen.units.outgoing():
            names[chosen.units.outgoing()] = (self.old_name.data or "").strip()
        known = tuple(replace(unit, name=names.get(unit.id, "")) for unit in chosen.units.known)
        return replace(chosen, units=Units(known))


@bp.get("/b/<int:nr>/route")
@owner_only
def route(nr: int) -> ResponseReturnValue:
    """Show how the engine leaves and comes back, as it was chosen."""
    with reading() as session:
        build = snapshot(session, nr)
    return render_template("phases/route.html", form=_form(build), problem=None)


def _form(build: Snapshot) -> RouteForm:
    form = RouteForm()
    form.rev.data = str(build.rev)
    if build.said_swap:
        said = build.said_swap
        engines = {unit.id: unit.name for unit in said.units.of_kind(UnitKind.ENGINE)}
        form.out.data, form.back.data = said.out.value, said.back.value
        form.new_engine.data = "yes" if len(engines) > 1 else "no"
        form.gearbox.data = "yes" if said.units.of_kind(UnitKind.GEARBOX) else "no"
        form.old_name.data = engines.get(said.units.outgoing(), "")
        form.new_name.data = engines.get(said.units.incoming(), "")
    return form


@bp.post("/b/<int:nr>/route")
@owner_only
def route_submit(nr: int) -> ResponseReturnValue:
    """Write how the engine leaves and comes back."""
    form = RouteForm()
    problem: Problem | None = None
    with unit_of_work() as session:
        build = snapshot(session, nr)
        if form.validate():
            swap = form.swap()
            places = {unit: state.place for unit, state in build.phases.states.items()}
            problem = change_problem(build.swap, swap, places) or set_swap(
                session,
                build.id,
                swap,
                rev=read_number(form.rev.data or ""),
                writer=writer(),
                now=now_text(),
            )
            if problem is None:
                flash("Saved. The checks and the order go by this now.", "done")
                return redirect(url_for("phases.show", nr=nr))
            form.rev.data = str(build.rev)
    return render_template("phases/route.html", form=form, problem=problem), status_of(
        *filter(None, [problem])
    )


@dataclass(frozen=True, slots=True)
class Told:
    """A milestone that was told.

    Args:
        text: What.
        people: By whom.
        at: The day.
        line: The first of its lines.
        open: How much its gate had open then.
        wrong: Why it cannot have been; empty where it can.
    """

    text: str
    people: tuple[str, ...]
    at: str
    line: str
    open: int
    wrong: str


@dataclass(frozen=True, slots=True)
class Choice:
    """One side of a contradiction: what is said, by whom; what to name to settle it in its favour."""

    text: str
    person: str
    line: str


@dataclass(frozen=True, slots=True)
class Act:
    """A milestone that can be told now.

    Args:
        offer: Which.
        text: What its button says.
        gate: The title of the gate before it while that is not green; empty otherwise.
        key: Of that gate.
        open: All that the gate has open.
        nth: The round.
    """

    offer: Offer
    text: str
    gate: str = ""
    key: str = ""
    open: tuple[str, ...] = ()
    nth: int = 1

    @property
    def body(self) -> dict[str, Any]:
        """What its line says."""
        units, opened = list(self.offer.units), list(self.open)
        said: dict[str, Any] = {"units": units, "open": opened, "round": self.nth}
        said |= {"to": self.offer.to} if self.offer.to else {}
        said |= {"before_record": True} if self.offer.before_record else {}
        return said | ({"trial": True} if self.offer.trial else {})


@bp.get("/b/<int:nr>/engine")
def show(nr: int) -> ResponseReturnValue:
    """Show where each unit is, what comes next, and what was told."""
    with reading() as session:
        return _page(session, snapshot(session, nr))


def _page(session: Session, build: Snapshot, problem: Problem | None = None) -> str:
    names = {person.id: person.name for person in crew.people(session)}
    following = next_milestone(build.swap, build.phases)
    return render_template(
        "phases/show.html",
        where=where_texts(build.phases),
        following=_act(session, build, following) if following else None,
        others=[_act(session, build, each) for each in other_milestones(build.swap, build.phases)],
        told=[_told(build, event, names) for event in reversed(build.phases.events)],
        disputes=[_sides(build, dispute.lines, names) for dispute in build.phases.disputes],
        after=_tips(build),
        subject=f"build:{build.id}",
        proposed=[_proposed(build, each) for each in proposals(build, facts(session, build))],
        said=build.swap.is_said,
        today=today().isoformat(),
        problem=problem,
    )


BECAUSE = {
    "start": "a start was written down",
    "pass": "its check was passed",
    "marks": "what was marked says so",
    "follows": "what came later could not have been without it",
}


def _proposed(build: Snapshot, found: Proposal) -> tuple[str, str]:
    return milestone_text(found.milestone, build.swap.units), BECAUSE[found.because]


def _act(session: Session, build: Snapshot, offer: Offer) -> Act:
    bare = Act(offer, button_text(offer, build.swap.units), nth=gate_round(build))
    if not offer.gate:
        return bare
    found = gate_state(session, build, offer.gate)
    if found.is_green:
        return bare
    return replace(bare, gate=found.gate.title, key=found.gate.key, open=found.open_ids or (NOT_PASSED,))


def _told(build: Snapshot, event: Event, names: Mapping[str, str]) -> Told:
    lines = {line.id: line for line in build.milestones}
    untrue = {each.event.lines: each.code for each in build.phases.untrue}
    people = tuple(sorted(names.get(person, "somebody") for person in event.witnesses))
    at = min(lines[line].at for line in event.lines)
    wrong = untrue_text(untrue[event.lines]) if event.lines in untrue else ""
    text = milestone_text(event.milestone, build.swap.units)
    return Told(text, people, at[:10], event.lines[0], len(event.open), wrong)


def _sides(build: Snapshot, about: tuple[str, ...], names: Mapping[str, str]) -> list[Choice]:
    lines = {line.id: line for line in build.milestones}
    found = []
    for line in (lines[each] for each in about if lines[each].verb in MILESTONE_VERBS):
        made = read_milestone(line, build.swap.units)
        if not isinstance(made, Problem):
            said = milestone_text(made, build.swap.units)
            found.append(Choice(said, names.get(line.person, "somebody"), line.id))
    return found


def _tips(build: Snapshot) -> tuple[str, ...]:
    """Return the lines that a next one names as seen."""
    return History(build.milestones).tips()


@bp.post("/b/<int:nr>/engine/proposed")
@owner_only
def answer_proposed(nr: int) -> ResponseReturnValue:
    """Write down that what seems to have been was so, each after the one before, or that it was not."""
    with unit_of_work() as session:
        build = snapshot(session, nr)
        found = proposals(build, facts(session, build))
        if found and request.form.get("so") == "yes":
            after = _tips(build)
            for each in found:
                said = {"units": sorted(each.milestone.units)}
                line = replace(
                    writer().line(f"build:{build.id}", each.milestone.verb.value, said),
                    after=frozenset(after),
                    at=now_text(),
                )
                append(session, line, build_id=build.id, now=now_text())
                after = (line.id,)
        elif found:
            asked = replace(build.swap, is_asked=True)
            set_swap(session, build.id, asked, rev=build.rev, writer=writer(), now=now_text())
    flash("Saved." if found else "This was answered already.", "done")
    return redirect(url_for("phases.show", nr=nr))


@bp.post("/b/<int:nr>/engine")
def submit(nr: int) -> ResponseReturnValue:
    """Write one line about the units of a build: a milestone, which of two is true, an undo."""
    with reading() as session:
        build = snapshot(session, nr)
    if problem := send_fact(build.id, f"build:{build.id}", done=_done_text):
        with reading() as session:
            return _page(session, snapshot(session, nr), problem), status_of(problem)
    return redirect(url_for("phases.show", nr=nr))


def _done_text(verb: str, _body: Mapping[str, Any]) -> str:
    return "Undone." if verb == "undo" else "Saved. Who and when stand below."
