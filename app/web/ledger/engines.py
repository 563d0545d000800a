"""The old engine against the new one, zone by zone; and what is new on the new engine."""

import dataclasses

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session
from wtforms import BooleanField, HiddenField, SelectField, StringField
from wtforms.validators import DataRequired, Length

from app.core.builds.groups import by_zone
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import DETAIL, Item
from app.core.items.kinds import Kind
from app.core.items.numbers import items_of
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.ledger.dispositions import reason_problem
from app.core.ledger.engines import GROUPS, NEW, Compared, compare, has_new_engine
from app.core.problem import Problem
from app.core.procurement.outstanding import Outstanding
from app.core.wording.destinies import DESTINY_TEXT
from app.core.wording.items import KIND_WORDS
from app.store.db.clock import new_id
from app.store.db.models import ItemRow
from app.store.journal import append
from app.store.plan.engines import add_new_part, link_replacement
from app.store.procurement.outstanding import save_outstanding
from app.web.procurement.outstanding import change
from app.web.site.context import entry_of, now_text, reading, snapshot, unit_of_work, way_back, writer
from app.web.site.form import Form, RefusedError, choices, read_number, sent_id, status_of
from app.web.site.wording import in_dialect

bp = Blueprint("engines", __name__)
ROWS = 60
BORN = (Kind.PART, Kind.CONNECTION, Kind.FASTENER, Kind.LOCATOR)
_OLD_ENGINE_FIRST = ("transfer", "replaced", "stays_on_old", "left_out", "refit", "undecided")
_ARROWS = {key: " → " if key == "moves" else " ⇄ " for key in GROUPS}
"""Between one thing and what it goes over to, or what stands against it."""
ANSWERS = tuple((key, DESTINY_TEXT[key]) for key in _OLD_ENGINE_FIRST)


class NewForm(Form):
    """Something on the new engine that the old one never had."""

    name = StringField("What is new", [DataRequired("Say what is new on the new engine."), Length(max=120)])
    kind = SelectField("Kind", choices=choices((kind.value, KIND_WORDS[kind]) for kind in BORN))
    count = StringField(
        "How many (empty: one, or not counted)", [Length(max=12)], render_kw={"inputmode": "numeric"}
    )
    zone = SelectField("Zone", choices=[])
    step = SelectField("Step in which it goes on", choices=[])
    buy = BooleanField("It is still to be bought")
    item = HiddenField()


def compared(build: Snapshot) -> tuple[Compared, ...]:
    """Return the comparison of a build."""
    adapted = {w.item_id for w in build.outstanding if w.category == "away" and w.need == "adapt"}
    return compare([(e.item, e.state) for e in build.items], build.edges, frozenset(adapted))


def unanswered(build: Snapshot) -> list[Entry]:
    """Return what of the old engine has no answer yet."""
    return [build.entries[one.item] for one in compared(build) if one.group == "unanswered"]


@bp.get("/b/<int:nr>/engines")
def index(nr: int) -> ResponseReturnValue:
    """Show what stays, moves, is adapted, is new, has no new one, or never returns, zone by zone."""
    with reading() as session:
        return _page(snapshot(session, nr), NewForm(formdata=None))


def _with_choices(build: Snapshot, form: NewForm) -> NewForm:
    form.zone.choices = choices([("", "no zone"), *((z.id, f"{z.label} ({z.level})") for z in build.zones)])
    back = [step for step in build.steps if step.direction != "off_only"]
    names = [(step.id, in_dialect(step_name(step, Way.BACK))) for step in reversed(back)]
    form.step.choices = choices([("", "no step"), *names])
    if form.step.data is None:
        form.step.data = next((s.id for s in back if s.height == "bench" and s.direction == "on_only"), "")
    form.item.data = sent_id(form.item.data)
    return form


def _page(build: Snapshot, form: NewForm) -> str:
    found = compared(build)
    missing = [build.entries[one.item] for one in found if one.group == "unanswered"]
    return render_template(
        "ledger/engines/index.html",
        has_new=has_new_engine([(e.item, e.state) for e in build.items]),
        counts={key: sum(one.group == key for one in found) for key in GROUPS},
        groups=GROUPS,
        arrows=_ARROWS,
        unanswered=missing[:ROWS],
        more=len(missing) - ROWS,
        zones=_by_zone(build, found),
        answers=ANSWERS,
        form=_with_choices(build, form),
    )


def _by_zone(
    build: Snapshot, found: tuple[Compared, ...]
) -> list[tuple[str, int, list[tuple[str, list[Compared]]]]]:
    """Return the comparison by zone, counted, and in it by group; what has no answer stands above all."""
    answered = [one for one in found if one.group != "unanswered"]
    return [
        (label, len(here), _by_group(here))
        for label, here in by_zone(build, answered, lambda one: build.entries[one.item].item.zone)
    ]


def _by_group(here: list[Compared]) -> list[tuple[str, list[Compared]]]:
    return [(key, rows) for key in GROUPS if (rows := [one for one in here if one.group == key])]


@bp.post("/b/<int:nr>/engines")
def create(nr: int) -> ResponseReturnValue:
    """Bring something into being that is new on the new engine: to be fitted from now on."""
    with unit_of_work() as session:
        build = snapshot(session, nr)
        form = _with_choices(build, NewForm())
        item = _new_item(form) if form.validate() else None
        if item is None:
            return _page(build, form), 422
        if session.get(ItemRow, item.id) is None:
            add_new_part(session, item, build_id=build.id, writer=writer(), now=now_text())
            if form.buy.data:
                wish = Outstanding(new_id(), f"item:{item.id}", "get", "other", item.name, count=item.n or 1)
                save_outstanding(session, wish, change(), build_id=build.id, currency=build.currency)
    flash(f"«{item.name}» is to be fitted.", "done")
    return redirect(url_for("cards.show", item_id=item.id))


def _new_item(form: NewForm) -> Item | None:
    """Return what was typed; `None` where the count is none, which is said at its field."""
    typed = (form.count.data or "").strip()
    n = read_number(typed) if typed else None
    if typed and not 1 <= (n or 0) <= 999:  # noqa: PLR2004 - as many positions as an item can have
        form.count.errors = (*form.count.errors, "A count from 1 to 999.")
        return None
    kind = Kind(form.kind.data)
    return Item(
        sent_id(form.item.data),
        0,
        kind,
        (form.name.data or "").strip(),
        form.step.data or "",
        form.zone.data or "",
        n if kind is not Kind.CONNECTION else None,
        owner=NEW,
        detail=DETAIL[kind](),
    )


@bp.post("/i/<item_id>/answer")
def answer(item_id: str) -> ResponseReturnValue:
    """Write what becomes of an item, and what replaces it or what it moves to."""
    destiny, reason = request.form.get("destiny", ""), request.form.get("reason", "").strip()[:200]
    try:
        build, entry = _answer(item_id, destiny, reason)
    except RefusedError as error:
        (problem,) = error.problems
        with reading() as session:
            _, entry = entry_of(session, item_id)
        page = render_template("ledger/engines/answer.html", entry=entry, answers=ANSWERS, problem=problem)
        return page, status_of(problem)
    flash(f"#{entry.item.number}: {dict(ANSWERS)[destiny]}.", "done")
    return redirect(way_back(url_for("engines.index", nr=build.nr)))


def _answer(item_id: str, destiny: str, reason: str) -> tuple[Snapshot, Entry]:
    """Write an answer in one transaction, or raise `RefusedError`, which leaves nothing written."""
    with unit_of_work() as session:
        build, entry = entry_of(session, item_id)
        if entry.item.kind is Kind.STEP:
            abort(404)
        if problem := _check(destiny, reason) or _tie(session, build, entry, destiny):
            raise RefusedError(problem)
        tips = snapshot(session, build.nr).entries[item_id].state.tips
        line = writer().line(entry.subject, "dispose", {"destiny": destiny, "reason": reason})
        line = dataclasses.replace(line, after=frozenset(tips))
        append(session, line, build_id=build.id, now=now_text())
    return build, entry


def _check(destiny: str, reason: str) -> Problem | None:
    if destiny not in dict(ANSWERS):
        return Problem("destiny", "Choose what becomes of it.", "destiny")
    return reason_problem(destiny, reason)


def _tie(session: Session, build: Snapshot, entry: Entry, destiny: str) -> Problem | None:
    """Write what stands in an item's place, where numbers were typed."""
    if destiny not in {"replaced", "transfer"}:
        return None
    others = items_of(request.form.get("others", ""), (e.item for e in build.items))
    if isinstance(others, Problem):
        return dataclasses.replace(others, where="others")
    if not others:
        return None
    return link_replacement(
        session,
        build,
        entry.item.id,
        {item.id for item in others},
        moves=destiny == "transfer",
        rev=read_number(request.form.get("rev", "")),
        writer=writer(),
        now=now_text(),
    )
