"""Install exceptions: where one item leaves the reverse, and how the order is said on pages."""

import dataclasses

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.next_act import before_of
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.kinds import Kind
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.order.acts import DURING, LATER, LOOSENED, TWICE, InstallException
from app.core.problem import Problem
from app.core.wording.items import numbered
from app.core.wording.order import MILESTONE_TEXTS, deviation_text, skips_text, unavailable_text
from app.store.plan.install_exceptions import set_install_exceptions
from app.web.site.context import entry_of, now_text, reading, today, unit_of_work, writer
from app.web.site.form import read_number, status_of

bp = Blueprint("exceptions", __name__)
WHAT_WORDS = [
    (LATER, "tightened later, in another step"),
    (LOOSENED, "tightened, loosened and tightened again"),
    (TWICE, "fitted twice: first in another step"),
    (DURING, "was put back during removal: comes out again"),
]
SHOWN_DEPARTURES = 12


def deviations(build: Snapshot) -> list[tuple[Entry, str]]:
    """Return where the order leaves the plain reverse, each with its words: what is not yet done."""
    found = [(build.entries[d.item], deviation_text(d, _name(build, d.other))) for d in build.deviations]
    upcoming = build.order_progress.next_node
    return [(e, words) for e, words in found if e.is_open or e.item.id in upcoming][:SHOWN_DEPARTURES]


def _name(build: Snapshot, other: str) -> str:
    if other in build.entries:
        return numbered(build.entries[other].item)
    if other in MILESTONE_TEXTS:
        return MILESTONE_TEXTS[other]
    return step_name(build.step[other], Way.BACK)


def remark_text(build: Snapshot, item_id: str) -> str:
    """Return what a row says beside its button: what it waits for, and what doing it now would skip."""
    blocked, skipped = build.blocked_by(item_id), build.skips(item_id)
    said = [_stated(build, item_id)]
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


def _stated(build: Snapshot, item_id: str) -> str:
    own = [d for d in build.deviations if d.item == item_id and d.what != "moved"]
    return " · ".join(deviation_text(d, _name(build, d.other)) for d in own)


def turn_text(build: Snapshot, item_id: str) -> list[str]:
    """Return what a card says of an item's turn: its exceptions, what it skips, what is open before it."""
    if build.cycle:
        return []
    skipped, before = build.skips(item_id), build.still_open_before(item_id)
    said = [_stated(build, item_id)]
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


def _page(build: Snapshot, entry: Entry, said: list[InstallException], problem: Problem | None = None) -> str:
    is_group = entry.item.kind is Kind.FASTENER
    return render_template(
        "cards/install_exceptions/show.html",
        entry=entry,
        rows=[*said, InstallException(entry.item.id, "", "")],
        whats=[(what, words) for what, words in WHAT_WORDS if is_group or what not in {LATER, LOOSENED}],
        steps=[step for step in build.steps if step.direction != "off_only"],
        problem=problem,
    )


@bp.post("/i/<item_id>/exceptions")
def submit(item_id: str) -> ResponseReturnValue:
    """Write an item's exceptions."""
    with unit_of_work() as session:
        build, entry = _item(session, item_id)
        said = _typed(build, entry)
        line = dataclasses.replace(
            writer().line(entry.subject, "edit", {}), after=frozenset(entry.state.tips)
        )
        rev = read_number(request.form.get("rev", ""))
        problem = set_install_exceptions(session, item_id, said, line, rev=rev, now=now_text())
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
