"""Where each engine and gearbox is: told by milestones, settled where people differ."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.gates import gate_round
from app.core.builds.proposed import proposals
from app.core.builds.snapshot import Snapshot
from app.core.items.journal import History
from app.core.phases.milestones import MILESTONE_VERBS, Event, read_milestone
from app.core.phases.next_milestones import Offer, next_milestone, other_milestones
from app.core.phases.proposed import Proposal
from app.core.problem import Problem
from app.core.wording.consistency import untrue_text
from app.core.wording.phases import because_text, button_text, milestone_text, where_texts
from app.store import crew
from app.store.gates import facts, gate_state
from app.store.milestones import tell_proposed
from app.store.plan.builds import set_swap
from app.web.intake.fact import send_fact
from app.web.site.context import now_text, owner_only, reading, snapshot, today, unit_of_work, writer
from app.web.site.form import status_of

bp = Blueprint("phases", __name__)
NOT_PASSED = "not passed"
"""What stands open where nothing keeps a gate shut and nobody has passed it."""


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
    def id(self) -> str:
        """What tells its fields on the page from those of others."""
        offer = self.offer
        kinds = ("trial",) * offer.trial + ("early",) * offer.before_record
        return "-".join((offer.verb.value, *offer.units, *kinds))

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


def _proposed(build: Snapshot, found: Proposal) -> tuple[str, str]:
    return milestone_text(found.milestone, build.swap.units), because_text(found.because)


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
    """Write down that what seems to have been was so, or that it was not."""
    so = request.form.get("so")
    if so not in {"yes", "no"}:
        return _refused(nr, Problem("so", "Say whether it was so.", "proposed"))
    with unit_of_work() as session:
        build = snapshot(session, nr)
        told = facts(session, build)
        found = proposals(build, told)
        if so == "yes":
            tell_proposed(session, build, found, told["start"].starts, writer=writer(), now=now_text())
        problem = None
        if found and so == "no":
            asked = replace(build.swap, is_asked=True)
            problem = set_swap(session, build.id, asked, rev=build.rev, writer=writer(), now=now_text())
    if problem:
        return _refused(nr, problem)
    flash("Saved." if found else "This was answered already.", "done")
    return redirect(url_for("phases.show", nr=nr))


def _refused(nr: int, problem: Problem) -> ResponseReturnValue:
    with reading() as session:
        return _page(session, snapshot(session, nr), problem), status_of(problem)


@bp.post("/b/<int:nr>/engine")
def submit(nr: int) -> ResponseReturnValue:
    """Write one line about the units of a build: a milestone, which of two is true, an undo."""
    with reading() as session:
        build = snapshot(session, nr)
    if problem := send_fact(build.id, f"build:{build.id}", done=_done_text):
        return _refused(nr, problem)
    return redirect(url_for("phases.show", nr=nr))


def _done_text(verb: str, _body: Mapping[str, Any]) -> str:
    return "Undone." if verb == "undo" else "Saved. Who and when stand below."
