"""Marking the rest of a zone: a page that lists what it will write, then one line each."""

import json

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot
from app.core.intake.facts import read_object
from app.core.intake.fields import fields_of
from app.core.ledger.bulk import REFUSED, Choice, choices
from app.core.problem import Problem
from app.core.wording.items import act_text
from app.store import crew
from app.store.db.clock import new_id
from app.store.intake.entries import IntakeAnswer
from app.web.intake.form import take_form
from app.web.site.context import reading, snapshot, visitor
from app.web.site.who import person_choices
from app.web.site.wording import in_dialect

bp = Blueprint("bulk", __name__)


@bp.get("/b/<int:nr>/zones/<zone_id>/mark")
def show(nr: int, zone_id: str) -> ResponseReturnValue:
    """List what would be written about the open lines of a zone."""
    with reading() as session:
        build = snapshot(session, nr)
        return _page(session, build, zone_id)


def _of_zone(build: Snapshot, zone_id: str) -> tuple[Choice[Entry], ...]:
    if zone_id not in build.zone:
        abort(404)
    return choices(e for e in build.items if e.item.zone == zone_id)


def _page(session: Session, build: Snapshot, zone_id: str, problem: Problem | None = None) -> str:
    found = _of_zone(build, zone_id)
    return render_template(
        "ledger/bulk/show.html",
        zone=build.zone[zone_id],
        writes=[(each.line, act_text(each.line.item, each.act), _entry(each)) for each in found if each.act],
        refused=[(each.line, REFUSED[each.refused]) for each in found if not each.act],
        who=person_choices(crew.doers(session), visitor().person),
        problem=problem,
    )


def _entry(choice: Choice[Entry]) -> str:
    """Return one line as the page keeps it: what it names as seen, so that it says nothing of newer lines."""
    line = {"id": new_id(), "item": choice.line.item.id, "act": choice.act, "after": choice.line.state.tips}
    return json.dumps(line)


@bp.post("/b/<int:nr>/zones/<zone_id>/mark")
def submit(nr: int, zone_id: str) -> ResponseReturnValue:
    """Write the chosen lines, each by itself."""
    chosen = [read_object(each) for each in request.form.getlist("line")]
    with reading() as session:
        build = snapshot(session, nr)
        may = {each.line.item.id: each for each in _of_zone(build, zone_id)}
        problem = next((p for each in chosen if (p := _refuse(may, each))), None)
        if problem:
            return _page(session, build, zone_id, problem), 422
    answers = [_take(build, each) for each in chosen]
    written = sum("problem" not in answer.body for answer in answers)
    flash(in_dialect(f"{written} {'line' if written == 1 else 'lines'} written, one each."), "done")
    return redirect(url_for("ledger.show", nr=nr, zone=zone_id))


def _refuse(may: dict[str, Choice[Entry]], line: dict[str, object]) -> Problem | None:
    """Refuse what is not the next rung of an open line of this zone, or is to be marked by itself."""
    choice = may.get(str(line.get("item")))
    if choice is None:
        return Problem("moved", "One of them was closed meanwhile: look at the list again.", "")
    if choice.refused:
        return Problem(choice.refused, f"#{choice.line.item.number}: {REFUSED[choice.refused]}.", "")
    if line.get("act") != choice.act:
        return Problem("moved", f"#{choice.line.item.number} was marked meanwhile: look at it again.", "")
    return None


def _take(build: Snapshot, line: dict[str, object]) -> IntakeAnswer:
    """Take in the mark of one line, as the form of its card would send it."""
    after = line.get("after")
    fields = fields_of(
        [
            ("verb", "mark"),
            ("act", str(line.get("act"))),
            ("person", request.form.get("person", "")),
            *(("after", str(each)) for each in (after if isinstance(after, list) else ())),
        ]
    )
    return take_form(
        "mark", build.id, subject=f"item:{line.get('item')}", entry_id=str(line.get("id", "")), fields=fields
    )
