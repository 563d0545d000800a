"""Something wrong with an item: two taps and a photo make a line that waits for a decision."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.items.kinds import Kind
from app.store import crew
from app.store.db.clock import new_id
from app.web.intake.form import take_form
from app.web.site.context import entry_of, reading, visitor
from app.web.site.form import sent_id
from app.web.site.who import person_choices

bp = Blueprint("findings", __name__)


@bp.get("/i/<item_id>/finding")
def create(item_id: str) -> ResponseReturnValue:
    """Show the page on which something wrong is photographed."""
    return _page(item_id)


def _page(item_id: str, problem: str = "") -> str:
    with reading() as session:
        _, entry = entry_of(session, item_id)
        people = crew.doers(session)
    if entry.item.kind is Kind.STEP:
        abort(404)
    return render_template(
        "takeoff/findings/create.html",
        entry=entry,
        who=person_choices(people, request.form.get("person") or visitor().person),
        blocks=request.method == "GET" or _blocks(),
        entry_id=sent_id(request.form.get("entry_id")),
        finding_id=sent_id(request.form.get("item_id")),
        problem=problem,
    )


@bp.post("/i/<item_id>/finding")
def create_submit(item_id: str) -> ResponseReturnValue:
    """Take a finding from a browser without script: with a photo, or with words alone."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
    if entry.item.kind is Kind.STEP:
        abort(404)
    file = request.files.get("photo")
    answer = take_form(
        "finding",
        build.id,
        photo=file.read() if file and file.filename else None,
        entry_id=request.form.get("entry_id", ""),
        item=request.form.get("item_id") or new_id(),
        about=entry.item.id,
    )
    if "problem" in answer.body:
        return _page(item_id, str(answer.body["problem"])), 422
    if "quarantined" in answer.body:
        flash(str(answer.body["quarantined"]), "done")
        return redirect(url_for("cards.show", item_id=item_id))
    found = str(answer.body["found"][0]["subject"]).partition(":")[2]
    flash(
        f"Written down. #{entry.item.number} waits for the decision." if _blocks() else "Written down.",
        "done",
    )
    return redirect(url_for("cards.show", item_id=found))


def _blocks() -> bool:
    return bool(request.form.get("blocks"))
