"""Install exceptions: where one item leaves the reverse, and how the order is said on pages."""

import dataclasses
from collections.abc import Sequence
from itertools import islice

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.next_act import before_of
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from app.core.items.numbers import item_of
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.order.acts import DURING, LATER, LOOSENED, TWICE, GoesAfter, InstallException
from app.core.phases.sides import ON_BEFORE, STAYS_OFF, SideException
from app.core.problem import Problem
from app.core.wording.items import numbered
from app.core.wording.order import MILESTONE_TEXTS, deviation_text, skips_text, unavailable_text
from app.store.plan.install_exceptions import set_install_exceptions
from app.store.plan.sequence import set_goes_after, set_side
from app.web.site.context import entry_of, now_text, reading, today, unit_of_work, writer
from app.web.site.form import read_number, status_of

bp = Blueprint("exceptions", __name__)
WHAT_WORDS = [
    (LATER, "tightened later, in another step"),
    (LOOSENED, "tightened, loosened and tightened again"),
    (TWICE, "fitted twice: first in another step"),
    (DURING, "was put back during removal: comes out again"),
]
SIDE_WORDS = [
    (ON_BEFORE, "on before it goes in: cannot be reached later"),
    (STAYS_OFF, "stays off until it is in: needs the room"),
]
SHOWN_DEPARTURES = 12
AfterRow = tuple[str, str]
"""What was typed of one thing that comes first: its number, and why."""


def deviations(build: Snapshot) -> list[tuple[Entry, str]]:
    """Return where the order leaves the plain reverse, each with its words: what is not yet done."""
    upcoming = build.order_progress.next_node
    found = ((build.entries[d.item], d) for d in build.deviations)
    undone = (pair for pair in found if pair[0].is_open or pair[0].item.id in upcoming)
    return [
        (entry, deviation_text(d, _name(build, d.other))) for entry, d in islice(undone, SHOWN_DEPARTURES)
    ]


def _name(build: Snapshot, other: str) -> str:
    if other in build.entries:
        return numbered(build.entries[other].item)
    if other in MILESTONE_TEXTS:
        return MILESTONE_TEXTS[other]
    return step_name(build.step[other], Way.BACK)


def remark_text(build: Snapshot, item_id: str) -> str:
    """Return what a row says beside its button: what it waits for, and what doing it now would skip."""
    blocked, skipped = build.blocked_by(item_id), build.skips(item_id)
    said = [stated_text(build, item_id)]
    before = before_of(build, item_id)
    if before and before.milestone:
        said.append(f"First: {MILESTONE_TEXTS[before.milestone]}")
    elif blocked:
        first = "First: decide" if blocked[0].item.kind is Kind.FINDING else "waits for"
        said.append(f"{first} {numbered(blocked[0].item)}")
    elif item_id in build.unavailable:
        unavailable = unavailable_text(build.entries[item_id].item, build.unavailable[item_id], today())
        said.append(f"waits for: {unavailable}")
    if len(skipped) > 1:
        said.append(f"doing it now {skips_text([e.item for e in skipped])}")
    return " · ".join(each for each in said if each)


def stated_text(build: Snapshot, item_id: str) -> str:
    """Return an item's exceptions; empty where it has none."""
    own = build.stated.get(item_id, ())
    return " · ".join(deviation_text(d, _name(build, d.other)) for d in own)


def turn_text(build: Snapshot, item_id: str) -> list[str]:
    """Return what a card says of an item's turn besides exceptions: what it skips, what is open before."""
    if build.cycle:
        return []
    skipped, before = build.skips(item_id), build.still_open_before(item_id)
    said = []
    if skipped:
        said.append(f"Out of turn: doing it now {skips_text([e.item for e in skipped])}")
    elif before and item_id in build.order_progress.next_node:
        free = "" if item_id in build.unavailable else "; nothing blocks it"
        said.append(f"{before} earlier {'is' if before == 1 else 'are'} still open{free}")
    return [each for each in said if each]


@bp.get("/i/<item_id>/exceptions")
def show(item_id: str) -> ResponseReturnValue:
    """Show an item's exceptions."""
    with reading() as session:
        build, entry = _item(session, item_id)
    return _page(build, entry, [d for d in build.install_exceptions if d.item == item_id])


def _item(session: Session, item_id: str) -> tuple[Snapshot, Entry]:
    build, entry = entry_of(session, item_id)
    if entry.item.kind is Kind.STEP:
        abort(404)
    return build, entry


def _page(
    build: Snapshot,
    entry: Entry,
    said: list[InstallException],
    problem: Problem | None = None,
    *,
    after: Sequence[AfterRow] | None = None,
    side: SideException | None = None,
) -> str:
    """Return the page; `after` and `side` are what was typed, without them what is stated is shown."""
    is_group = entry.item.kind is Kind.FASTENER
    return render_template(
        "cards/install_exceptions/show.html",
        entry=entry,
        rows=[*said, InstallException(entry.item.id, "", "")],
        whats=[(what, words) for what, words in WHAT_WORDS if is_group or what not in {LATER, LOOSENED}],
        steps=[step for step in build.steps if step.direction != "off_only"],
        after=[*(_stated_after(build, entry) if after is None else after), ("", "")],
        side=side or build.side_exceptions.get(entry.item.id),
        sides=SIDE_WORDS,
        problem=problem,
    )


def _stated_after(build: Snapshot, entry: Entry) -> list[AfterRow]:
    stated = [each for each in build.goes_after if each.item == entry.item.id]
    return [(f"#{build.entries[each.after].item.number}", each.reason) for each in stated]


@bp.post("/i/<item_id>/exceptions")
def submit(item_id: str) -> ResponseReturnValue:
    """Write an item's exceptions."""
    with unit_of_work() as session:
        build, entry = _item(session, item_id)
        said = _typed(build, entry)
        problem = set_install_exceptions(
            session, item_id, said, _edit_line(entry), rev=_rev(), now=now_text()
        )
        if problem:
            return _page(build, entry, said, problem), status_of(problem)
    flash("Kept: the order follows it.", "done")
    return redirect(url_for("cards.show", item_id=item_id))


def _typed(build: Snapshot, entry: Entry) -> list[InstallException]:
    """Return what the form says; a row without an exception says nothing."""
    known = {d.what: d for d in build.install_exceptions if d.item == entry.item.id}
    rows = zip(*(request.form.getlist(key) for key in ("what", "step", "reason")), strict=False)
    return [
        InstallException(
            entry.item.id,
            step,
            what,
            known[what].nth if what in known else entry.state.round,
            reason.strip()[:200],
        )
        for what, step, reason in rows
        if what
    ]


@bp.post("/i/<item_id>/exceptions/after")
def submit_after(item_id: str) -> ResponseReturnValue:
    """Write what an item goes back after, each with its reason; rows without either are cleared."""
    typed = _typed_after()
    with unit_of_work() as session:
        build, entry = _item(session, item_id)
        stated = _read_after(build, entry, typed)
        problem = (
            stated
            if isinstance(stated, Problem)
            else set_goes_after(session, item_id, stated, _edit_line(entry), rev=_rev(), now=now_text())
        )
        if problem:
            said = [d for d in build.install_exceptions if d.item == item_id]
            return _page(build, entry, said, problem, after=typed), status_of(problem)
    flash("Kept: the order follows it.", "done")
    return redirect(url_for("cards.show", item_id=item_id))


def _typed_after() -> list[AfterRow]:
    rows = zip(request.form.getlist("goes_after"), request.form.getlist("after_why"), strict=False)
    return [(n.strip()[:80], why.strip()[:200]) for n, why in rows if n.strip() or why.strip()]


def _read_after(build: Snapshot, entry: Entry, typed: Sequence[AfterRow]) -> list[GoesAfter] | Problem:
    stated = []
    for number, why in typed:
        other = item_of(number, (e.item for e in build.items))
        if isinstance(other, Problem):
            return dataclasses.replace(other, where="goes_after")
        stated.append(GoesAfter(entry.item.id, other.id, why))
    return stated


@bp.post("/i/<item_id>/exceptions/side")
def submit_side(item_id: str) -> ResponseReturnValue:
    """Write on which side of the lift an item goes against the rule, or that it follows the rule."""
    what = request.form.get("side", "")
    stated = SideException(what, request.form.get("side_reason", "").strip()[:200]) if what else None
    with unit_of_work() as session:
        build, entry = _item(session, item_id)
        problem = set_side(session, item_id, stated, _edit_line(entry), rev=_rev(), now=now_text())
        if problem:
            said = [d for d in build.install_exceptions if d.item == item_id]
            return _page(build, entry, said, problem, side=stated), status_of(problem)
    flash("Kept: the order follows it.", "done")
    return redirect(url_for("cards.show", item_id=item_id))


def _edit_line(entry: Entry) -> Line:
    return dataclasses.replace(writer().line(entry.subject, "edit", {}), after=frozenset(entry.state.tips))


def _rev() -> int:
    return read_number(request.form.get("rev", ""))
