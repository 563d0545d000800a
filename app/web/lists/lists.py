"""Steps and items from a list: sent, looked at, put in; and the build as a list."""

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.list_export import export_list
from app.core.builds.snapshot import Snapshot
from app.core.lists import columns
from app.core.lists.bytes import decode
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list
from app.core.problem import Problem
from app.store.db.clock import new_id
from app.store.db.models import JournalRow
from app.store.lists.lists import Effect, effect_of, write_list
from app.web.lists.words import effect_text, remark_text, shortened
from app.web.site.context import now_text, owner_only, reading, snapshot, unit_of_work, writer
from app.web.site.form import sent_id

bp = Blueprint("lists", __name__)
MOST_BYTES = 8 << 20
"""The largest list that a page takes, [bytes]: the next page carries it once more. The command takes more."""
SHOWN = 500
_KEPT = 1 << 20
_ROOM = 2 * MOST_BYTES


def make_room() -> None:
    """Let the list's own form carry a whole list; every other form stays small."""
    if request.endpoint == "lists.take":
        request.max_form_memory_size = _ROOM


@bp.get("/b/<int:nr>/list")
@owner_only
def show(nr: int) -> ResponseReturnValue:
    """Show the form for a list."""
    with reading() as session:
        snapshot(session, nr)
    return _form_page("")


def _form_page(text: str, problems: tuple[Problem, ...] = ()) -> str:
    told, more = shortened(remark_text(problems), SHOWN)
    return render_template(
        "lists/form.html",
        text=text,
        problems=told,
        more=more,
        wrong=len(told) + more,
        columns=columns.TABLE.all,
        megabytes=MOST_BYTES >> 20,
    )


@bp.post("/b/<int:nr>/list")
@owner_only
def take(nr: int) -> ResponseReturnValue:
    """Look at a list, or put it in when it has been looked at."""
    data = _sent()
    plan = _read(data)
    putting = isinstance(plan, ListPlan) and request.form.get("what") == "put"
    with unit_of_work() if putting else reading() as session:
        build = snapshot(session, nr)
        if not isinstance(plan, ListPlan):
            return _form_page(_typed(data), plan), 422
        if putting:
            return _put(session, build, plan)
        effect = effect_of(build, plan)
        if effect.there and effect.there == effect.items:
            told = f"All {effect.items} items of this list are here already, by kind, name and step."
            return _form_page(_typed(data), (Problem("there-already", told),)), 422
        return _preview(plan, effect, data)


def _sent() -> bytes:
    """Return the chosen file, or what was typed where none was chosen."""
    sent = b""
    if file := request.files.get("file"):
        sent = file.read(MOST_BYTES + 1)
        file.close()
    return sent or request.form.get("text", "").encode("utf-8", "surrogatepass")


def _read(data: bytes) -> ListPlan | tuple[Problem, ...]:
    if len(data) > MOST_BYTES:
        told = f"A page takes {MOST_BYTES >> 20} MB. On the laptop, «putback import» takes more."
        return (Problem("too-large", told),)
    return read_list(data)


def _typed(data: bytes) -> str:
    """Return what goes back into the box to be put right: not a long file, and none that is no text."""
    text = decode(data) if len(data) <= _KEPT else ""
    return text if isinstance(text, str) else ""


def _preview(plan: ListPlan, effect: Effect, data: bytes) -> str:
    remarks, more = shortened(remark_text(plan.remarks), SHOWN)
    return render_template(
        "lists/preview.html",
        rows=plan.rows,
        effects=effect_text(effect),
        remarks=remarks,
        more=more,
        text=decode(data),
        list_id=new_id(),
    )


def _put(session: Session, build: Snapshot, plan: ListPlan) -> ResponseReturnValue:
    """Put a list in, once: the number of its line was on the page that was sent."""
    list_id = sent_id(request.form.get("list_id"))
    if session.query(JournalRow.seq).filter(JournalRow.id == list_id).first() is None:
        line = writer().line(f"build:{build.id}", "edit", {"list": len(plan.items)}, list_id)
        write_list(session, build, plan, line, writer=writer(), now=now_text())
    flash(f"{plan.rows} rows are in.", "done")
    return redirect(url_for("putback.index", nr=build.nr))


@bp.get("/b/<int:nr>/list.csv")
@owner_only
def export(nr: int) -> ResponseReturnValue:
    """Send the build as a list; the mark at its beginning tells spreadsheets that it is UTF-8."""
    with reading() as session:
        text = export_list(snapshot(session, nr))
    answer = Response("\ufeff" + text, mimetype="text/csv")
    answer.headers["Content-Disposition"] = f'attachment; filename="build-{nr}.csv"'
    return answer
