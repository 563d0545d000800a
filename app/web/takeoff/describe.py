"""Describing on the bench: a list of what lacks words, and a form that the keyboard alone goes through."""

import dataclasses
import json
from functools import cache
from typing import Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import OWNERS, End, Fastener, lacks_words
from app.core.items.journal import History
from app.core.items.kinds import ITEM_KINDS, Kind
from app.core.problem import Problem
from app.core.tags import shown
from app.core.tightening.torque_table import cautions_of
from app.store import crew
from app.store.db.files import bundled
from app.store.db.models import Person
from app.store.journal import append, lines_of
from app.store.plan.builds import Writer
from app.store.plan.items import edit_item
from app.store.plan.places import put_item
from app.web.site.context import entry_of, now_text, reading, snapshot, unit_of_work, writer
from app.web.site.form import RefusedError, read_number, status_of
from app.web.site.wording import in_dialect
from app.web.takeoff.item_form import (
    FORM_RELATIONS,
    ItemForm,
    check_numbers,
    check_words,
    filled_form,
    targets_of,
    typed_ends,
    typed_item,
    with_choices,
    wrong_fields,
)
from app.web.takeoff.typed_torque import (
    ASKED,
    TorqueQuestion,
    answers_to,
    is_answered,
    question_about,
    take_choice,
    values_of,
)

bp = Blueprint("describe", __name__)
MOST_ENDS = 4


@cache
def vocabulary() -> dict[str, Any]:
    """Return the words that are suggested."""
    found: dict[str, Any] = json.loads((bundled("seed_data") / "vocabulary.json").read_text(encoding="utf-8"))
    return found


@bp.get("/b/<int:nr>/describe")
def index(nr: int) -> ResponseReturnValue:
    """List what lacks words."""
    with reading() as session:
        build = snapshot(session, nr)
    rows = [(entry, _lacking_text(build, entry, lacks)) for entry, lacks in _lacking(build)]
    return render_template("takeoff/describe/index.html", rows=rows)


def _lacking_text(build: Snapshot, entry: Entry, lacks: tuple[str, ...]) -> str:
    """Return a thing's tag and zone, where it has them, and what it lacks."""
    tag = [shown(code) for code in build.tags.get(entry.subject, ())[:1]]
    zone = [build.zone[entry.item.zone].label] if entry.item.zone in build.zone else []
    return " · ".join((*tag, *zone, f"lacks: {', '.join(lacks)}"))


def _lacking(build: Snapshot) -> list[tuple[Entry, tuple[str, ...]]]:
    return [(entry, lacks) for entry in build.items if (lacks := lacks_words(entry.item))]


@bp.get("/i/<item_id>/describe")
def show(item_id: str) -> ResponseReturnValue:
    """Show an item's form."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
    if entry.item.kind is Kind.STEP:
        abort(404)
    return _page(build, entry, filled_form(build, entry))


def _page(
    build: Snapshot,
    entry: Entry,
    form: ItemForm,
    problems: list[Problem] | None = None,
    ends: Any = None,
    question: TorqueQuestion | None = None,
) -> str:
    kind = Kind(form.kind.data) if form.kind.data in set(ITEM_KINDS) else entry.item.kind
    lacking = [other for other, _ in _lacking(build)]
    detail = entry.item.detail
    known = getattr(detail, "ends", ()) if ends is None else ends
    return render_template(
        "takeoff/describe/show.html",
        entry=entry,
        kind=kind.value,
        form=form,
        problems=problems or [],
        ends=[known[i] if i < len(known) else End("ABCD"[i], "", "") for i in range(MOST_ENDS)],
        owners=OWNERS,
        words=vocabulary(),
        places=sorted({p.name for p in build.places.values()}),
        photos=build.photos.get(entry.subject, ()),
        codes=build.tags.get(entry.subject, ()),
        left=len(lacking),
        values=values_of(form.torque.data or form.torque_print.data or ""),
        question=question,
        standing_cautions=cautions_of(detail) if isinstance(detail, Fastener) else (),
        people=_people(),
    )


def _people() -> list[Person]:
    with reading() as session:
        return crew.doers(session)


@bp.post("/i/<item_id>/describe")
def submit(item_id: str) -> ResponseReturnValue:
    """Write an item's words; then the next one that lacks some."""
    try:
        return _submit(item_id)
    except RefusedError as error:
        (problem,) = error.problems
    with reading() as session:
        build, entry = entry_of(session, item_id)
        form = with_choices(ItemForm(), build)
        return _page(build, entry, form, [problem], typed_ends()), status_of(problem)


def _submit(item_id: str) -> ResponseReturnValue:
    """Write an item's words in one transaction."""
    with unit_of_work() as session:
        build, entry = entry_of(session, item_id)
        if entry.item.kind is Kind.STEP:
            abort(404)
        form = with_choices(ItemForm(), build)
        kind = Kind(form.kind.data) if form.kind.data in set(ITEM_KINDS) else entry.item.kind
        take_choice(form)
        problems = [] if form.validate() else wrong_fields(form)
        problems += check_words(form, kind) + check_numbers(build, form, entry.item.id)
        if request.form.get("what") == "kind":
            return _page(build, entry, form, ends=typed_ends() or None)
        if problems:
            return _page(build, entry, form, problems, typed_ends()), 422
        question = question_about(entry, typed_item(entry, form, kind))
        if question and not is_answered(question):
            return _page(build, entry, form, [ASKED], typed_ends(), question), 422
        _write(session, build, entry, form, kind)
        if question:
            _say_who_compared(session, build.id, entry, question)
        build = snapshot(session, build.nr)
        following = next((e for e, _ in _lacking(build) if e.item.number > entry.item.number), None)
    flash(f"#{entry.item.number} is described.", "done")
    if build.entries[item_id].item.critical and not form.critical.data:
        flash(
            in_dialect(
                f"The words of #{entry.item.number} speak of something critical: a second look is asked. "
                "If that is wrong, untick it under «Words, place, torque» on its card."
            ),
            "done",
        )
    if request.form.get("what") == "next" and following:
        return redirect(url_for("describe.show", item_id=following.item.id))
    return redirect(url_for("describe.index", nr=build.nr))


def _say_who_compared(session: Session, build_id: str, entry: Entry, question: TorqueQuestion) -> None:
    """Write who compared a torque with the print, in sight of the line that wrote it."""
    people = {person.id for person in crew.people(session)}
    asked = request.form.get("torque_person", "")
    by = writer()
    by = Writer(asked, by.device) if asked in people else by
    for said in answers_to(question):
        tips = History(lines_of(session, entry.subject)).tips()
        append(session, by.say(entry.subject, said, tips), build_id=build_id, now=now_text())


def _write(session: Session, build: Snapshot, entry: Entry, form: ItemForm, kind: Kind) -> None:
    """Write words, edges and place, or raise `RefusedError`, which leaves nothing written."""
    typed = form.rev.data or ""
    rev = read_number(typed)
    line = writer().line(entry.subject, "edit", {})
    line = dataclasses.replace(line, after=frozenset(entry.state.tips))
    edges = {}
    for rel in (rel for rel in FORM_RELATIONS if rel in request.form):
        targets = targets_of(build, form[rel].data)
        if isinstance(targets, Problem):
            raise RefusedError(targets)
        edges[rel] = targets - {entry.item.id}
    problem = edit_item(
        session,
        entry.item.id,
        typed_item(entry, form, kind),
        line,
        rev=rev,
        now=now_text(),
        edges=edges,
    )
    if problem:
        raise RefusedError(problem)
    if kind is Kind.PART and form.destiny.data not in {None, entry.state.destiny.value}:
        body = {"destiny": form.destiny.data, "reason": (form.note.data or "").strip()[:200]}
        line = dataclasses.replace(writer().line(entry.subject, "dispose", body), after=frozenset({line.id}))
        append(session, line, build_id=build.id, now=now_text())
    place = (form.place.data or "").strip()
    put_item(session, build, entry.item.id, place, seen=line.id, writer=writer(), now=now_text())
