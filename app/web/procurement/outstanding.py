"""One thing that is waited for: written, closed with one tap, opened again."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot
from app.core.ids import is_id
from app.core.items.kinds import Kind
from app.core.problem import STALE, Problem
from app.core.procurement.outstanding import CATEGORIES, Outstanding
from app.core.wording.outstanding import everything_text
from app.store.db.clock import new_id
from app.store.db.models import Build, OutstandingRow
from app.store.intake.entries import derived_id
from app.store.procurement.outstanding import (
    Edit,
    as_outstanding,
    drop_outstanding,
    end_outstanding,
    reopen_outstanding,
    save_outstanding,
)
from app.web.procurement.outstanding_form import (
    LABELS,
    OutstandingForm,
    filled_form,
    read_count,
    read_outstanding,
    set_field_errors,
)
from app.web.site.context import entry_of, now_text, reading, snapshot, today, unit_of_work, way_back, writer
from app.web.site.form import read_number, status_of

bp = Blueprint("outstanding", __name__)
TITLES: Mapping[str, str] = MappingProxyType(
    {
        "away": "Away for treatment",
        "get": "To get",
        "soak": "Soaking",
        "core": "Core to return",
        "sale": "For sale",
    }
)
DONE_WORDS: Mapping[str, str] = MappingProxyType(
    {"away": "Back", "get": "Arrived", "soak": "Soaked", "core": "Returned", "sale": "Sold"}
)


def change(rev: int = 0) -> Edit:
    """Return by whom and when it is written from a page."""
    return Edit(writer(), now_text(), today(), rev)


def need_id(item_id: str, need: str) -> str:
    """Return the id that follows from one need of an item: two phones that order it order it once."""
    return derived_id(item_id, "get", need)


def _fresh(build: Snapshot, entry: Entry, category: str, need: str) -> Outstanding:
    """Return what the form for a new one begins with."""
    if category == "get":
        line = next((x for x in build.to_get if (x.item, x.code) == (entry.item.id, need)), None)
        if line and line.outstanding:
            return line.outstanding
        if line:
            outstanding_id = need_id(entry.item.id, need)
            return Outstanding(
                outstanding_id, entry.subject, category, need, line.what, count=max(1, line.count), rev=0
            )
        return Outstanding(new_id(), entry.subject, category, "other", rev=0)
    since = today() if category in {"away", "soak"} else None
    return Outstanding(new_id(), entry.subject, category, since=since, count=entry.item.n or 1, rev=0)


def _category() -> str:
    asked = request.values.get("category", request.values.get("sort", ""))
    return asked if asked in CATEGORIES else "away"


@bp.get("/i/<item_id>/outstanding")
def create(item_id: str) -> ResponseReturnValue:
    """Show the form for something that an item waits for; `category` says what category of thing."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
    if entry.item.kind is Kind.STEP:
        abort(404)
    outstanding = _fresh(build, entry, _category(), request.args.get("need", ""))
    return _page(build, entry, filled_form(outstanding), outstanding)


@bp.post("/i/<item_id>/outstanding")
def create_submit(item_id: str) -> ResponseReturnValue:
    """Write something that an item waits for."""
    with unit_of_work() as session:
        build, entry = entry_of(session, item_id)
        if entry.item.kind is Kind.STEP:
            abort(404)
        outstanding = _fresh(build, entry, _category(), request.form.get("need_of", ""))
        known = request.form.get("wait", "")
        if outstanding.rev == 0 and outstanding.need in {"", "other"} and is_id(known):
            outstanding = replace(outstanding, id=known)  # the form sent twice writes one
        return _submit(session, build, entry, outstanding)


def _submit(
    session: Session, build: Snapshot, entry: Entry | None, before: Outstanding
) -> ResponseReturnValue:
    form = OutstandingForm()
    currency = before.price.currency if before.price else build.currency
    outstanding, problems = read_outstanding(form, before, currency)
    if not problems:
        kept = change(read_number(form.rev.data or ""))
        problems = list(save_outstanding(session, outstanding, kept, build_id=build.id, currency=currency))
    if problems:
        set_field_errors(form, problems)
        return _page(build, entry, form, before, problems), status_of(*problems)
    flash("Written down.", "done")
    return redirect(way_back(list_of(build, outstanding)))


def list_of(build: Snapshot, outstanding: Outstanding) -> str:
    """Return the page that lists this category."""
    if outstanding.category == "soak":
        return url_for("away.index", nr=build.nr)
    page = {"away": "away.index", "get": "to_get.index"}.get(outstanding.category, "leaving.index")
    return url_for(page, nr=build.nr)


def _page(
    build: Snapshot,
    entry: Entry | None,
    form: OutstandingForm,
    outstanding: Outstanding,
    problems: list[Problem] | None = None,
) -> str:
    for name, label in LABELS[outstanding.category].items():
        form[name].label.text = f"{label}, {build.currency}" if name == "price" else label
    if outstanding.rev and form.rev.data != str(outstanding.rev):
        form.rev.data = str(outstanding.rev)
    is_stale = any(problem.code == STALE.code for problem in problems or ())
    return render_template(
        "procurement/outstanding/edit.html",
        entry=entry,
        form=form,
        outstanding=outstanding,
        shown=tuple(LABELS[outstanding.category]),
        title=TITLES[outstanding.category],
        done_text=DONE_WORDS[outstanding.category],
        problems=problems or [],
        now_says=everything_text(outstanding, today()) if is_stale else "",
        whoms=sorted({w.at_whom for w in build.outstanding if w.at_whom}),
        back=request.values.get("back", ""),
        list_href=list_of(build, outstanding),
    )


def outstanding_of(session: Session, outstanding_id: str) -> tuple[Snapshot, Outstanding]:
    """Return something outstanding and its build; an unknown one is a 404."""
    row = session.get(OutstandingRow, outstanding_id) or abort(404)
    return snapshot(session, session.get_one(Build, row.build_id).nr), as_outstanding(row)


@bp.get("/outstanding/<outstanding_id>")
def edit(outstanding_id: str) -> ResponseReturnValue:
    """Show the form of one of them."""
    with reading() as session:
        build, outstanding = outstanding_of(session, outstanding_id)
    return _page(build, build.entries.get(outstanding.item_id), filled_form(outstanding), outstanding)


@bp.post("/outstanding/<outstanding_id>")
def edit_submit(outstanding_id: str) -> ResponseReturnValue:
    """Write one of them."""
    with unit_of_work() as session:
        build, outstanding = outstanding_of(session, outstanding_id)
        return _submit(session, build, build.entries.get(outstanding.item_id), outstanding)


@bp.post("/outstanding/<outstanding_id>/done")
def done(outstanding_id: str) -> ResponseReturnValue:
    """Write down that it is back, has arrived, is returned or sold: one tap, or fewer pieces with a count."""
    typed = request.form.get("count", "").strip()
    with unit_of_work() as session:
        build, outstanding = outstanding_of(session, outstanding_id)
        count = read_count(typed) if typed else None
        problem = (
            count
            if isinstance(count, Problem)
            else end_outstanding(
                session, outstanding_id, change(read_number(request.form.get("rev", ""))), count=count
            )
        )
    flash(
        problem.message if problem else f"{DONE_WORDS[outstanding.category]}.",
        "problem" if problem else "done",
    )
    return redirect(way_back(list_of(build, outstanding)))


@bp.post("/outstanding/<outstanding_id>/again")
def again(outstanding_id: str) -> ResponseReturnValue:
    """Take back that it is over."""
    with unit_of_work() as session:
        build, outstanding = outstanding_of(session, outstanding_id)
        problem = reopen_outstanding(
            session, outstanding_id, change(read_number(request.form.get("rev", "")))
        )
    flash(problem.message if problem else "It waits again.", "problem" if problem else "done")
    return redirect(way_back(list_of(build, outstanding)))


@bp.post("/outstanding/<outstanding_id>/drop")
def drop(outstanding_id: str) -> ResponseReturnValue:
    """Take it off the list."""
    with unit_of_work() as session:
        build, outstanding = outstanding_of(session, outstanding_id)
        problem = drop_outstanding(session, outstanding_id, change(read_number(request.form.get("rev", ""))))
    flash(problem.message if problem else "Taken off the list.", "problem" if problem else "done")
    return redirect(list_of(build, outstanding))
