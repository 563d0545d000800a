"""What is away: where, since when, for what work, due when; and the sheet that goes with it."""

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.builds.snapshot import Entry, Snapshot
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
    chosen = (
        next((e for e in build.items if str(e.item.number) == typed.lstrip("#")), None) if typed else None
    )
    if chosen:
        return redirect(url_for("outstanding.create", item_id=chosen.item.id, category="away"))
    return _page(build, typed), 422 if typed else 200


def _page(build: Snapshot, typed: str) -> str:
    away = [outstanding for outstanding in build.outstanding if outstanding.category == "away"]
    waiting = overdue_first((w for w in away if w.is_open), today())
    return render_template(
        "procurement/away/index.html",
        rows=[(outstanding, build.entries.get(outstanding.item_id)) for outstanding in waiting],
        soaking=[(w, build.entries.get(w.item_id)) for w in _open(build, "soak")],
        back=[
            (outstanding, build.entries.get(outstanding.item_id))
            for outstanding in away
            if not outstanding.is_open
        ],
        total=prices(waiting),
        whoms=sorted({outstanding.at_whom for outstanding in waiting if outstanding.at_whom}),
        treatments=dict(TREATMENT_WORDS),
        today=today(),
        typed=typed,
    )


def _open(build: Snapshot, category: str) -> tuple[Outstanding, ...]:
    return overdue_first((w for w in build.outstanding if w.category == category and w.is_open), today())


@bp.get("/b/<int:nr>/away/sheet")
def sheet(nr: int) -> ResponseReturnValue:
    """Show the sheet that goes along: what is handed over, by tag and number, and how much must return."""
    whom = request.args.get("whom", "")
    with reading() as session:
        build = snapshot(session, nr)
    all_outstanding = [outstanding for outstanding in _open(build, "away") if outstanding.at_whom == whom]
    rows: list[tuple[Outstanding, Entry]] = [
        (w, build.entries[w.item_id]) for w in all_outstanding if w.item_id in build.entries
    ]
    return render_template(
        "procurement/away/sheet.html",
        whom=whom,
        rows=rows,
        pieces=sum(outstanding.count for outstanding, _ in rows),
        total=prices(all_outstanding),
        treatments=dict(TREATMENT_WORDS),
        today=today(),
    )
