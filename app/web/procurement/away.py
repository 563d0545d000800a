"""What is away: where, since when, for what work, due when; and the sheet that goes with it."""

from dataclasses import dataclass

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.numbers import item_of
from app.core.problem import Problem
from app.core.procurement.outstanding import Outstanding, overdue_first, prices
from app.core.wording.counts import counted
from app.core.wording.items import item_title
from app.core.wording.order import whereabouts_text
from app.core.wording.outstanding import terms_text
from app.web.procurement.outstanding_form import TREATMENT_WORDS
from app.web.site.context import reading, snapshot, today
from app.web.site.wording import in_dialect

bp = Blueprint("away", __name__)
_TREATMENT_TEXT = {key: words for key, words in TREATMENT_WORDS if key}


@dataclass(frozen=True, slots=True)
class OutstandingRow:
    """Something outstanding as a list shows it.

    Args:
        outstanding: What it is.
        entry: The item that it is about, where that is here.
        work: What is done to it.
        name: What it is called.
        terms: Who has it, since when, and for how much.
        done: What the button says when it is over.
    """

    outstanding: Outstanding
    entry: Entry | None
    work: str
    name: str
    terms: str
    done: str


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
    away = [each for each in build.outstanding if each.category == "away"]
    still = _open(build, "away")
    return render_template(
        "procurement/away/index.html",
        rows=[_row(build, each, "Back") for each in still],
        soaking=[_row(build, each, "Soaked") for each in _open(build, "soak")],
        back=[_row(build, each, "") for each in away if not each.is_open],
        total=prices(still),
        whoms=sorted({each.at_whom for each in still if each.at_whom}),
        today=today(),
        typed=typed,
        problem=problem,
    )


def _row(build: Snapshot, outstanding: Outstanding, done: str) -> OutstandingRow:
    entry = build.entries.get(outstanding.item_id)
    where = whereabouts_text(outstanding) if outstanding.category == "away" else ""
    return OutstandingRow(
        outstanding,
        entry,
        ": ".join(filter(None, (_TREATMENT_TEXT.get(outstanding.need, ""), outstanding.what))),
        in_dialect(item_title(entry.item)) if entry else outstanding.what,
        terms_text(outstanding, today(), where),
        done,
    )


def _open(build: Snapshot, category: str) -> tuple[Outstanding, ...]:
    return overdue_first((w for w in build.outstanding if w.category == category and w.is_open), today())


@bp.get("/b/<int:nr>/away/sheet")
def sheet(nr: int) -> ResponseReturnValue:
    """Show the sheet that goes along: what is handed over, by tag and number, and how much must return."""
    whom = request.args.get("whom", "")
    with reading() as session:
        build = snapshot(session, nr)
    handed_over = [each for each in _open(build, "away") if each.at_whom == whom]
    rows = [_row(build, each, "") for each in handed_over if each.item_id in build.entries]
    return render_template(
        "procurement/away/sheet.html",
        whom=whom,
        rows=rows,
        pieces=counted(sum(row.outstanding.count for row in rows), "piece"),
        total=prices(handed_over),
        today=today(),
    )
