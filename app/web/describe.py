"""Describing on the bench: a list of what lacks words, and a form that the keyboard alone goes through."""

import dataclasses
import json
from functools import cache
from typing import Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session
from wtforms import (
    BooleanField,
    DecimalField,
    HiddenField,
    IntegerField,
    SelectField,
    StringField,
    TextAreaField,
)
from wtforms.validators import Length, NumberRange, Optional

from app.core.items import OWNERS, End, Fastener, Item, lacks_words, read_detail
from app.core.journal import Line
from app.core.kinds import ITEM_KINDS, Kind
from app.core.patterns import drawing_of
from app.core.plausibility import Joint
from app.core.positions import read_holes, read_lengths
from app.core.preload import Friction
from app.core.problem import Problem
from app.core.sentences import KIND_WORDS
from app.core.threads import parse_thread
from app.core.tightening import Pattern
from app.core.torque_text import parse_torque
from app.store.clock import new_id
from app.store.files import bundled
from app.store.items import edit_item, set_edges
from app.store.journal import append
from app.store.snapshot import Entry, Snapshot
from app.web.form import Form, choices, read_number
from app.web.shop import entry_of, now_text, reading, snapshot, unit_of_work, visitor, writer
from app.web.stores import place_named
from app.web.wording import said

bp = Blueprint("describe", __name__)
MOST_ENDS = 4
RELATIONS = ("holds", "joins", "covers", "found_on")
DESTINY_WORDS = [
    ("refit", "goes back"),
    ("transfer", "goes to the new engine"),
    ("replaced", "replaced by another"),
    ("left_out", "left out"),
    ("stays_on_old", "stays on the old engine"),
    ("undecided", "undecided"),
]
FRICTIONS = [("", "not known"), *((f.value, f.value) for f in Friction if f is not Friction.UNKNOWN)]
JOINTS = [("", "steel or iron, or not known"), *((j.value, j.value) for j in Joint if j is not Joint.STEEL)]
PATTERNS = [("", "not said"), *((p.value, p.value) for p in Pattern)]
PASSES = [("1", "one, or as printed"), ("2", "two"), ("3", "three"), ("4", "four")]
ONE_TIME = [("unknown", "not known"), ("no", "may be used again"), ("yes", "once only: a new one")]


@cache
def vocabulary() -> dict[str, Any]:
    """Return the words that are suggested."""
    found: dict[str, Any] = json.loads((bundled("seed_data") / "vocabulary.json").read_text(encoding="utf-8"))
    return found


class ItemForm(Form):
    """An item's words. Which of the fields are shown depends on its kind."""

    kind = SelectField("Kind", choices=choices((kind.value, KIND_WORDS[kind]) for kind in ITEM_KINDS))
    name = StringField("Name", [Length(max=120)])
    zone = SelectField("Zone", choices=[])
    step = SelectField("Step", choices=[])
    owner = SelectField("Whose it is", choices=choices((owner, owner) for owner in OWNERS))
    critical = BooleanField("A second person looks at it")
    n = IntegerField("How many", [Optional(), NumberRange(1, 999, "A count from 1 to 999.")])
    sort = StringField("Sort", [Length(max=60)])
    lock = StringField("Lock", [Length(max=60)])
    both_halves = BooleanField("It closes only when the codes on both halves were read")
    thread = StringField("Thread and length", [Length(max=60)])
    strength = StringField("Class or grade", [Length(max=20)])
    head = StringField("Head and drive", [Length(max=60)])
    washers = StringField("Washers, in order", [Length(max=80)])
    seal = StringField("Lock or sealant", [Length(max=80)])
    one_time = SelectField("Used once only", choices=choices(ONE_TIME), default="unknown")
    torque = StringField("Torque as printed, with its unit", [Length(max=500)])
    torque_source = StringField("Where the torque stands", [Length(max=120)])
    no_figure = BooleanField("Looked for a torque, found none")
    friction = SelectField("On the thread", [Optional()], choices=choices(FRICTIONS))
    joint = SelectField("What it goes into", [Optional()], choices=choices(JOINTS))
    passes = SelectField("Passes to the figure", choices=choices(PASSES), default="1")
    pattern = SelectField("How the bolts lie", [Optional()], choices=choices(PATTERNS))
    rows = IntegerField("Rows of the rectangle", [Optional(), NumberRange(0, 20, "0 to 20 rows.")])
    own_order = StringField("Order as the manual prints it", [Length(max=400)])
    places_mm = StringField("Where the holes are, mm", [Length(max=2000)])
    lengths = StringField("Lengths by hole, where they differ", [Length(max=400)])
    holes = StringField("Blind or wet holes", [Length(max=200)])
    retorque = StringField("Tighten again after the first start", [Length(max=40)])
    look_alike = StringField("Looks like (a word for the look-alikes)", [Length(max=40)])
    condition = StringField("Condition", [Length(max=60)])
    weight_kg = DecimalField("Weight, kg", [Optional(), NumberRange(0, 2000, "0 to 2000 kg.")])
    system = StringField("System", [Length(max=60)])
    spec = StringField("Specification", [Length(max=80)])
    capacity_l = DecimalField("Capacity, litres", [Optional(), NumberRange(0, 200, "0 to 200 litres.")])
    bleeds = BooleanField("The system is bled after filling")
    what = StringField("What was found", [Length(max=200)])
    blocks = BooleanField("It must be decided before the rest goes on")
    decision = StringField("What was decided", [Length(max=200)])
    destiny = SelectField("What becomes of it", [Optional()], choices=choices(DESTINY_WORDS))
    place = StringField("Shelf place", [Length(max=60)])
    holds = StringField("Holds (item numbers)", [Length(max=120)])
    joins = StringField("Joins (item numbers)", [Length(max=120)])
    covers = StringField("Covers (item numbers)", [Length(max=120)])
    found_on = StringField("Found on (item numbers)", [Length(max=120)])
    note = TextAreaField("Note", [Length(max=2000)])
    rev = HiddenField()


@bp.get("/b/<int:nr>/describe")
def index(nr: int) -> ResponseReturnValue:
    """List what lacks words."""
    with reading() as session:
        build = snapshot(session, nr)
    return render_template("describe/index.html", rows=_lacking(build))


def _lacking(build: Snapshot) -> list[tuple[Entry, tuple[str, ...]]]:
    return [(entry, lacks) for entry in build.items if (lacks := lacks_words(entry.item))]


@bp.get("/i/<item_id>/describe")
def show(item_id: str) -> ResponseReturnValue:
    """Show an item's form."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
    if entry.item.kind is Kind.STEP:
        abort(404)
    return _page(build, entry, _filled(build, entry))


def _filled(build: Snapshot, entry: Entry) -> ItemForm:
    item = entry.item
    values = {f.name: getattr(item.detail, f.name) for f in dataclasses.fields(item.detail)} | {
        "kind": item.kind.value,
        "name": item.name,
        "zone": item.zone,
        "step": item.step,
        "owner": item.owner,
        "critical": item.critical,
        "n": item.n,
        "note": item.note,
        "rev": entry.rev,
        "destiny": entry.state.destiny.value or "undecided",
        "place": next(iter(build.place_path(entry.state.place.value)), ""),
        **{rel: _numbers(build, item.id, rel) for rel in RELATIONS},
    }
    return _with_choices(ItemForm(formdata=None, data=values), build)


def _numbers(build: Snapshot, item_id: str, rel: str) -> str:
    targets = [build.entries[e.to].item.number for e in build.edges if e.frm == item_id and e.rel == rel]
    return " ".join(f"#{n}" for n in sorted(targets))


def _with_choices(form: ItemForm, build: Snapshot) -> ItemForm:
    form.zone.choices = choices([("", "not yet"), *((z.id, f"{z.label} ({z.level})") for z in build.zones)])
    form.step.choices = choices([("", "not yet"), *((s.id, said(s.name)) for s in build.steps)])
    form.destiny.validate_choice = "destiny" in request.form  # only a part's page asks for it
    return form


def _page(
    build: Snapshot, entry: Entry, form: ItemForm, problems: list[Problem] | None = None, ends: Any = None
) -> str:
    kind = Kind(form.kind.data) if form.kind.data in set(ITEM_KINDS) else entry.item.kind
    lacking = [other for other, _ in _lacking(build)]
    detail = entry.item.detail
    known = getattr(detail, "ends", ()) if ends is None else ends
    return render_template(
        "describe/show.html",
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
    )


class _RefusedError(Exception):
    """What was typed cannot be written as it is: nothing of it is."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


@bp.post("/i/<item_id>/describe")
def submit(item_id: str) -> ResponseReturnValue:
    """Write an item's words; then the next one that lacks some."""
    try:
        return _submit(item_id)
    except _RefusedError as error:
        problem = error.problem
    with reading() as session:
        build, entry = entry_of(session, item_id)
        form = _with_choices(ItemForm(), build)
        return _page(build, entry, form, [problem], _ends()), 409 if problem.code == "stale" else 422


def _submit(item_id: str) -> ResponseReturnValue:
    """Write an item's words in one transaction."""
    with unit_of_work() as session:
        build, entry = entry_of(session, item_id)
        if entry.item.kind is Kind.STEP:
            abort(404)
        form = _with_choices(ItemForm(), build)
        kind = Kind(form.kind.data) if form.kind.data in set(ITEM_KINDS) else entry.item.kind
        problems = [] if form.validate() else _wrong_fields(form)
        problems += _check(form, kind) + _check_numbers(build, form, entry.item.id)
        if request.form.get("what") == "kind":
            return _page(build, entry, form, ends=_ends() or None)
        if problems:
            return _page(build, entry, form, problems, _ends()), 422
        _write(session, build, entry, form, kind)
        build = snapshot(session, build.nr)
        following = next((e for e, _ in _lacking(build) if e.item.number > entry.item.number), None)
    flash(f"#{entry.item.number} is described.", "done")
    if build.entries[item_id].item.critical and not form.critical.data:
        flash(
            said(
                f"The words of #{entry.item.number} speak of something critical: a second look is asked. "
                "If that is wrong, untick it under «Words, place, torque» on its card."
            ),
            "done",
        )
    if request.form.get("what") == "next" and following:
        return redirect(url_for("describe.show", item_id=following.item.id))
    return redirect(url_for("describe.index", nr=build.nr))


def _wrong_fields(form: ItemForm) -> list[Problem]:
    return [Problem("field", str(f.errors[0]), f.name) for f in form if f.errors]


def _check(form: ItemForm, kind: Kind) -> list[Problem]:
    """Return what is wrong with thread and torque; the form keeps what was typed."""
    found = []
    if kind is Kind.FASTENER and form.thread.data:
        read = parse_thread(form.thread.data)
        found += [Problem(read.code, read.message, "thread")] if isinstance(read, Problem) else []
    if kind is Kind.FASTENER and form.torque.data:
        torque = parse_torque(form.torque.data)
        found += [Problem(torque.code, torque.message, "torque")] if isinstance(torque, Problem) else []
    if kind is Kind.FASTENER:
        found += _check_holes(form)
    for problem in found:
        form[problem.where].errors = (*form[problem.where].errors, problem.message)
    return found


def _check_holes(form: ItemForm) -> list[Problem]:
    """Return what is wrong with lengths, blind holes and the drawing of a group."""
    bolts = form.n.data or 0
    group = Fastener(
        rows=form.rows.data or 0,
        pattern=form.pattern.data or "",
        own_order=form.own_order.data or "",
        places_mm=form.places_mm.data or "",
    )
    answers: list[object] = [
        read_lengths(form.lengths.data or "", bolts),
        read_holes(form.holes.data or "", bolts),
        drawing_of(group, bolts),
    ]
    if group.pattern and not bolts:
        answers.append(Problem("n", "Count the bolts first: the drawing needs their number.", "n"))
    return [answer for answer in answers if isinstance(answer, Problem)]


def _targets(build: Snapshot, typed: str) -> tuple[set[str], list[str]]:
    """Return the ids behind typed item numbers, and those that there are not."""
    by_number = {str(e.item.number): e.item.id for e in build.items}
    words = (typed or "").replace("#", " ").replace(",", " ").replace(";", " ").split()
    return {by_number[w] for w in words if w in by_number}, [w for w in words if w not in by_number]


def _check_numbers(build: Snapshot, form: ItemForm, own: str) -> list[Problem]:
    found = []
    for rel in RELATIONS:
        targets, unknown = _targets(build, form[rel].data)
        if own in targets:
            message = "An item cannot hold, join or cover itself: type other numbers."
            form[rel].errors = (*form[rel].errors, message)
            found.append(Problem("itself", message, rel))
        if unknown:
            message = (
                f"There is no item {', '.join('#' + n for n in unknown)}: type running numbers, such as #12."
            )
            form[rel].errors = (*form[rel].errors, message)
            found.append(Problem("number", message, rel))
    return found


def _ends() -> list[End]:
    labels, owners = request.form.getlist("end_label"), request.form.getlist("end_owner")
    pairs = zip("ABCD", labels, owners, strict=False)
    return [End(half, label.strip()[:80], owner if owner in OWNERS else "") for half, label, owner in pairs]


def _item(entry: Entry, form: ItemForm, kind: Kind) -> Item:
    values = {key: value for key, value in form.data.items() if value is not None}
    values = {k: v.strip() if isinstance(v, str) else v for k, v in values.items()}
    values |= {key: float(values[key]) for key in ("weight_kg", "capacity_l") if key in values}
    values["passes"] = read_number(values.get("passes", "1")) or 1
    if kind is Kind.CONNECTION:
        given = [end for end in _ends() if end.label or end.owner]
        values["ends"] = [
            dataclasses.asdict(end) for end in (given if len(given) > 1 else [End("A"), End("B")])
        ]
    return Item(
        entry.item.id,
        entry.item.number,
        kind,
        values.get("name", ""),
        values.get("step", ""),
        values.get("zone", ""),
        values.get("n"),
        bool(values.get("critical")),
        values.get("owner", "vehicle"),
        values.get("note", ""),
        read_detail(kind, values),
    )


def _write(session: Session, build: Snapshot, entry: Entry, form: ItemForm, kind: Kind) -> None:
    """Write words, edges and place, or raise `_RefusedError`, which leaves nothing written."""
    typed = form.rev.data or ""
    rev = read_number(typed)
    line = writer().line(entry.subject, "edit", {})
    line = dataclasses.replace(line, after=frozenset(entry.state.tips))
    problem = edit_item(session, entry.item.id, _item(entry, form, kind), line, rev=rev, now=now_text())
    if problem:
        raise _RefusedError(problem)
    for rel in RELATIONS:
        targets, _ = _targets(build, form[rel].data)
        circle = set_edges(session, entry.item.id, rel, targets - {entry.item.id})
        if circle:
            raise _RefusedError(circle)
    if kind is Kind.PART and form.destiny.data not in {None, entry.state.destiny.value}:
        body = {"destiny": form.destiny.data, "reason": (form.note.data or "").strip()[:200]}
        line = dataclasses.replace(writer().line(entry.subject, "dispose", body), after=frozenset({line.id}))
        append(session, line, build_id=build.id, now=now_text())
    _put(session, build, entry, form.place.data.strip() if form.place.data else "", line)


def _put(session: Session, build: Snapshot, entry: Entry, name: str, seen: Line) -> None:
    """Write down a new shelf place, if another one was typed."""
    now_at = next(iter(build.place_path(entry.state.place.value)), "")
    if name == now_at:
        return
    place_id = place_named(session, build.id, name).id if name else ""
    who = visitor()
    line = Line(
        new_id(), entry.subject, "move", {"place": place_id}, frozenset({seen.id}), who.person, who.device
    )
    append(session, line, build_id=build.id, now=now_text())
