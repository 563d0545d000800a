"""The bay's drawing with what is open in it, the ledger, and the status for whoever comes in."""

from collections.abc import Mapping

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy import select

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from app.core.ledger.leftovers import leftovers
from app.core.wording.items import act_text
from app.store.db.models import Build, Person
from app.store.journal import last_seq, newest
from app.store.plan.builds import layout
from app.web.gates.gates import ahead
from app.web.gates.returning import ago
from app.web.site.context import reading, snapshot

bp = Blueprint("bay", __name__)
RECENT = 12


@bp.get("/")
def home() -> ResponseReturnValue:
    """Go to the build, or to the form for the first one."""
    with reading() as session:
        builds = session.scalars(select(Build).order_by(Build.nr)).all()
        if len(builds) == 1:
            return redirect(url_for("bay.show", nr=builds[0].nr))
        return render_template("builds/list.html", builds=builds) if builds else redirect("/builds/new")


@bp.get("/b/<int:nr>/bay")
def show(nr: int) -> ResponseReturnValue:
    """Show the drawing, above or below, with the number of open lines in each zone."""
    level = "below" if request.args.get("level") == "below" else "above"
    with reading() as session:
        build = snapshot(session, nr)
        following = ahead(session, build)
    here = [zone for zone in build.zones if zone.level == level]
    return render_template(
        "bay/show.html",
        level=level,
        zones=here,
        without=build.open_by_zone.get("", 0),
        layout=layout(build.layout),
        counts=build.open_by_zone,
        ahead=following,
    )


@bp.get("/b/<int:nr>/ledger")
def ledger(nr: int) -> ResponseReturnValue:
    """Show the open lines by zone or by step, or all lines that ever opened."""
    by = "step" if request.args.get("by") == "step" else "zone"
    zone, everything = request.args.get("zone", ""), "all" in request.args
    with reading() as session:
        build = snapshot(session, nr)
    lines = [e for e in build.entries.values() if e.is_open or (everything and e.state_key != "on")]
    lines = [e for e in lines if not zone or e.item.zone == zone]
    groups = {s.id: s.name for s in build.steps} if by == "step" else {z.id: z.label for z in build.zones}
    groups[""] = "No step yet" if by == "step" else "No zone yet"
    listed = [
        (label, [e for e in lines if getattr(e.item, by) == key and e.item.kind is not Kind.STEP])
        for key, label in groups.items()
    ]
    listed.append(("Steps on the way back", [e for e in lines if e.item.kind is Kind.STEP]))
    return render_template(
        "ledger/ledger.html",
        by=by,
        zone=build.zone.get(zone),
        everything=everything,
        left=leftovers(build.items) if not zone else None,
        groups=[(label, sorted(found, key=lambda e: e.item.number)) for label, found in listed if found],
    )


@bp.get("/b/<int:nr>/status")
def status(nr: int) -> ResponseReturnValue:
    """Show what is done, what is next, what is missing, who did what last; an unchanged one costs no body."""
    with reading() as session:
        tag = f'"{last_seq(session)}-{nr}"'
        if request.headers.get("If-None-Match") == tag:
            return "", 304, {"ETag": tag}
        build = snapshot(session, nr)
        names = {person.id: person.name for person in session.scalars(select(Person))}
        following = ahead(session, build)
        recent = newest(session, build.id, limit=RECENT, verbs=("add", "mark", "settle", "undo", "pass"))
    ready = [build.entries[i] for i in _order(build) if _is_ready(build, i)]
    page = render_template(
        "bay/status.html",
        closed=build.taken_off - len(build.open),
        ready=ready[:5],
        loud=[e for e in build.open if e.state_key in {"aside", "hand_tight", "disagree", "loosened"}],
        ahead=following,
        names=names,
        stop_ago=ago(following.stop.at) if following.stop else "",
        recent=[_told(line, build.entries, names) for line in recent],
        fragment="fragment" in request.args,
    )
    answer = make_response(page)
    answer.headers["ETag"] = tag
    return answer


def _is_ready(build: Snapshot, item_id: str) -> bool:
    return (
        build.entries[item_id].is_open and item_id not in build.unavailable and not build.blocked_by(item_id)
    )


def _order(build: Snapshot) -> tuple[str, ...]:
    """Return the order of putting back; none while things wait for each other, which Put back explains."""
    return () if build.cycle else build.order


def _told(line: Line, entries: Mapping[str, Entry], names: Mapping[str, str]) -> dict[str, object]:
    entry = entries.get(line.subject.partition(":")[2])
    act = line.record.act
    other = {"undo": "taken back", "pass": "passed"}.get(line.verb, line.verb)
    said = act_text(entry.item, act) if entry and act else other
    return {"who": names.get(line.person, "somebody"), "entry": entry, "said": said, "at": line.at}
