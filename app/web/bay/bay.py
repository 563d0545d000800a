"""The bay's drawing with what is open in it, and the status for whoever comes in."""

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy import select

from app.core.builds.next_act import is_under_way_back
from app.core.builds.snapshot import Snapshot
from app.core.wording.phases import engine_line, where_texts
from app.store.db.models import Build, Person
from app.store.journal import last_seq, newest
from app.store.plan.builds import layout
from app.web.gates.gates import ahead
from app.web.gates.returning import ago
from app.web.site.context import reading, snapshot, visitor
from app.web.site.done_lines import done_lines

bp = Blueprint("bay", __name__)
RECENT = 12
_HOMES = {"owner": "bay.show", "helper": "now.show", "onlooker": "bay.status"}
"""Role -> its first page: the bay, what can be done now, how far it is."""


@bp.get("/")
def home() -> ResponseReturnValue:
    """Go to the build, or to the form for the first one: everybody to what is of use to them."""
    with reading() as session:
        builds = session.scalars(select(Build).order_by(Build.nr)).all()
        if len(builds) == 1:
            return redirect(url_for(_HOMES[visitor().role], nr=builds[0].nr))
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
        engine_href=_engine_href(build),
        way_back=is_under_way_back(build),
        engine_line=engine_line(build.swap.is_said, where_texts(build.phases)),
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
        engine_line=engine_line(build.swap.is_said, where_texts(build.phases)),
        names=names,
        stop_ago=ago(following.stop.at) if following.stop else "",
        recent=done_lines(recent, build, names),
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


def _engine_href(build: Snapshot) -> str:
    """Return where the line about the engine leads: the owner says first how the engine comes out."""
    is_asked = not build.swap.is_said and visitor().is_owner
    return url_for("route.show" if is_asked else "phases.show", nr=build.nr)
