"""What is away: where, since when, for what work, due when; and the sheet that goes with it."""

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.numbers import item_of
from app.core.problem import Problem
from app.core.procurement.outstanding import Outstanding, overdue_first, prices
from app.web.procurement.outstanding import TREATMENT_WORDS
from app.web.site.context import reading, snapshot, today

bp = Blueprint("away", __name__)


@bp.get("/b/<int:nr>/away")
def index(nr: int) -> ResponseReturnValue:
    """List what is away, the overdue first; a typed item number leads to the form that sends it away."""
    typed = request.args.get("number", "").strip()
    with reading() as session:
        build = snapshot(session, nr)
    if not typed:
        return _page(build)
    chosen = item_of(typed, (e.item for e in build.items))
    if isinstance(chosen, Problem):
        return _page(build, typed, chosen.message), 422
    return redirect(url_for("outstanding.create", item_id=chosen.id, category="away"))


def _page(build: Snapshot, typed: str = "", problem: str = "") -> str:
    away = [wait for wait in build.outstanding if wait.category == "away"]
    waiting = overdue_first((w for w in away if w.is_open), today())
    return render_template(
        "procurement/away/index.html",
        rows=[(wait, build.entries.get(wait.item_id)) for wait in waiting],
        soaking=[(w, build.entries.get(w.item_id)) for w in _open(build, "soak")],
        back=[(wait, build.entries.get(wait.item_id)) for wait in away if not wait.is_open],
        total=prices(waiting),
        whoms=sorted({wait.at_whom for wait in waiting if wait.at_whom}),
        treatments=dict(TREATMENT_WORDS),
        today=today(),
        typed=typed,
        problem=problem,
    )


def _open(build: Snapshot, category: str) -> tuple[Outstanding, ...]:
    return overdue_first((w for w in build.outstanding if w.category == category and w.is_open), today())


@bp.get("/b/<int:nr>/away/sheet")
def sheet(nr: int) -> ResponseReturnValue:
    """Show the sheet that goes along: what is handed over, by tag and number, and how much must return."""
    whom = request.args.get("whom", "")
    with reading() as session:
        build = snapshot(session, nr)
    waits = [wait for wait in _open(build, "away") if wait.at_whom == whom]
    rows: list[tuple[Outstanding, Entry]] = [
        (w, build.entries[w.item_id]) for w in waits if w.item_id in build.entries
    ]
    return render_template(
        "procurement/away/sheet.html",
        whom=whom,
        rows=rows,
        pieces=sum(wait.count for wait, _ in rows),
        total=prices(waits),
        treatments=dict(TREATMENT_WORDS),
        today=today(),
    )
