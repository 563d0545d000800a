"""Coming back: where work stopped, what stands half done, what is away or undecided, what has aged."""

from datetime import timedelta

from flask import Blueprint, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot
from app.core.gates.returning import aged, comes_back, half_done, how_long, moment
from app.core.items.journal import Line
from app.core.wording.items import act_text
from app.store import crew
from app.store.gates import ageing
from app.store.returning import first_off, newest_fact, newest_stop, newest_work
from app.web.gates.gates import ahead
from app.web.intake.fact import send_fact
from app.web.site.context import now, reading, snapshot, way_back

bp = Blueprint("returning", __name__)
BACK = 3
"""How many acts back a person goes who was interrupted: a rule of aviation maintenance."""


@bp.get("/b/<int:nr>/coming-back")
def index(nr: int) -> ResponseReturnValue:
    """Show where work stopped, then what is loud, half done, undecided, and what has aged meanwhile."""
    with reading() as session:
        build = snapshot(session, nr)
        names = {person.id: person.name for person in crew.people(session)}
        last = newest_work(session, build.id, limit=BACK)
        stop = newest_stop(session, build.id)
        stood = _since(first_off(session, build.id))
        pause = _since(newest_fact(session, build.id))
        following = ahead(session, build)
    loud, half = half_done((entry.state_key, entry) for entry in build.open)
    return render_template(
        "gates/returning/index.html",
        last=[told(line, build, names) for line in last],
        stop=stop,
        names=names,
        loud=loud,
        half=half,
        away=getattr(build, "away", ()),
        undecided=[e for e in build.open if e.state_key == "undecided" or e in build.undecided],
        aged=aged(ageing(), stood) if stood else (),
        stood=how_long(stood) if stood else "",
        pause=how_long(pause) if pause else "",
        stop_ago=ago(stop.at) if stop else "",
        ahead=following,
    )


def _since(line: Line | None) -> timedelta | None:
    at = moment(line.at) if line else None
    return max(timedelta(), now() - at) if at else None


def ago(at: str) -> str:
    """Return how long ago something was, in words; empty where its clock is unreadable."""
    then = moment(at)
    span = max(timedelta(), now() - then) if then else None
    if span is None:
        return ""
    return f"{how_long(span)} ago" if span >= timedelta(minutes=1) else "just now"


def told(line: Line, build: Snapshot, names: dict[str, str]) -> dict[str, object]:
    """Return an act as a row shows it: who did what, how long ago."""
    entry = build.entries.get(line.subject.partition(":")[2])
    said = act_text(entry.item, line.record.act) if entry and line.record.act else ""
    return {"entry": entry, "who": names.get(line.person, "somebody"), "said": said, "ago": ago(line.at)}


def first_to_see(session: Session, build: Snapshot) -> tuple[Entry, ...]:
    """Return what stands first in the list for somebody who comes back; nothing for one who goes on."""
    if not comes_back(newest_fact(session, build.id), now()):
        return ()
    loud, _ = half_done((entry.state_key, entry) for entry in build.open)
    return loud


@bp.post("/b/<int:nr>/stop")
def stop(nr: int) -> ResponseReturnValue:
    """Write down that somebody stopped here."""
    with reading() as session:
        build = snapshot(session, nr)
    problem = send_fact(
        build.id, f"build:{build.id}", done=lambda _verb, _body: "Stopped here: written down."
    )
    if problem:
        flash(problem.message, "problem")
    return redirect(way_back(url_for("returning.index", nr=nr)))
