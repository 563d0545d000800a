"""Taking off, at the engine: a photo with the tag in the frame, a typed code, or a scanned tag."""

from dataclasses import dataclass

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.builds.openings import HAVE_OPENINGS, may_be_closed
from app.core.builds.snapshot import Snapshot
from app.core.intake.fields import fields_of
from app.core.items.kinds import ITEM_KINDS, Act, Kind, knows, opening_act
from app.core.items.numbers import item_of
from app.core.problem import Problem
from app.core.tags import is_code, read_payload, shown
from app.core.wording.items import KIND_HINTS, KIND_WORDS, numbered
from app.store import crew, tags
from app.store.db.clock import new_id
from app.store.db.models import Build
from app.store.intake.entries import IntakeAnswer
from app.store.journal import last_added
from app.store.plan.builds import layout
from app.web.gates.gates import ahead
from app.web.intake.form import sent_fields, take_form
from app.web.site.context import now_text, reading, snapshot, unit_of_work, visitor, writer
from app.web.site.who import person_choices
from app.web.takeoff.briefs import briefs
from app.web.takeoff.taken import MOST_SHOWN, last_off, newest_taken

bp = Blueprint("takeoff", __name__)
_MOST_OPENINGS = 12
_CARRIED = ("kind", "step", "zone", "act", "person", "closes")
FOUND = [
    (Act.ASIDE, "tied back, still connected"),
    (Act.LOOSENED, "only loosened"),
    (Act.ALREADY_OFF, "off when found"),
    (Act.UNUSED, "never used: not put back"),
]
_BEGINS = {Act.FITTED: "in", Act.RAISED: "found"}
"""Words of the state that a kind begins in, where they differ from the act's own."""

LEVELS = ("above", "below")


@bp.get("/b/<int:nr>/take-off")
def show(nr: int) -> ResponseReturnValue:
    """Show the page that is left open: one button takes a photo, and the line exists."""
    with reading() as session:
        build = snapshot(session, nr)
        return _page(session, build)


def _page(session: Session, build: Snapshot, *, code: str = "", typed: str = "", problem: str = "") -> str:
    if not visitor().may_write:
        return render_template("takeoff/onlooker.html", code=code)
    wanted = request.args.get("kind", "")
    chosen = {key: request.form[key] for key in _CARRIED if key in request.form}
    last = carried_over(session, build) | ({"kind": wanted} if wanted in set(ITEM_KINDS) else {}) | chosen
    steps = [step for step in build.steps if step.direction != "on_only"]
    taken = newest_taken(session, build, visitor().device)
    shown_large = None if code or problem else last_off(taken)
    return render_template(
        "takeoff/show.html",
        code=code,
        typed=typed,
        problem=problem,
        last=last,
        last_taken=shown_large,
        taken=[each for each in taken if each is not shown_large],
        most_shown=MOST_SHOWN,
        kinds=[_kind_choice(kind, last["kind"]) for kind in ITEM_KINDS],
        kind_label=KIND_WORDS.get(last["kind"], ""),
        levels=_levels(build, last["zone"]),
        states=[(act.value, label, [k.value for k in ITEM_KINDS if knows(k, act)]) for act, label in FOUND],
        openings=[(e.item.id, numbered(e.item)) for e in may_be_closed(build, last["zone"], _MOST_OPENINGS)],
        have_openings=sorted(HAVE_OPENINGS),
        layout=layout(build.layout),
        zones=build.zones,
        steps=steps,
        briefs=briefs(build, steps, last["step"]),
        who=person_choices(crew.doers(session), last.get("person") or visitor().person),
        tray=len(build.tray),
        ahead=ahead(session, build),
        entry_id=new_id(),
        item_id=new_id(),
        undo_id=new_id(),
        further_pages=(),
    )


@dataclass(frozen=True, slots=True)
class _KindChoice:
    """A kind to choose: its words, the sign of what has just come off, and the state it begins in."""

    value: str
    label: str
    hint: str
    sign: str
    begins: str
    is_chosen: bool


def _kind_choice(kind: Kind, chosen: str) -> _KindChoice:
    opening = opening_act(kind)
    begins = _BEGINS.get(opening, opening.value)
    return _KindChoice(
        kind.value, KIND_WORDS[kind], KIND_HINTS[kind], opening.value, begins, kind.value == chosen
    )


@dataclass(frozen=True, slots=True)
class _Level:
    """One of the two drawings to choose a zone in, and the words of the zone that is chosen in it."""

    key: str
    zone_label: str


def _levels(build: Snapshot, zone_id: str) -> list[_Level]:
    zone = build.zone.get(zone_id)
    chosen = {zone.level: zone.label} if zone else {}
    return [_Level(key, chosen.get(key, "")) for key in LEVELS]


def carried_over(session: Session, build: Snapshot) -> dict[str, str]:
    """Return kind, zone and step of the last thing that this device took off."""
    entry = build.entries.get(last_added(session, build.id, visitor().device))
    first_step = next((step.id for step in build.steps if step.direction == "both"), "")
    if entry is None:
        return {"kind": "connection", "zone": "", "step": first_step}
    return {"kind": entry.item.kind.value, "zone": entry.item.zone, "step": entry.item.step or first_step}


@bp.post("/b/<int:nr>/take-off")
def submit(nr: int) -> ResponseReturnValue:
    """Take a photo or a code from a browser without script."""
    with reading() as session:
        build = snapshot(session, nr)
    files = [file.read() for file in request.files.getlist("photo") if file.filename]
    answers = [_take(build, nth, photo) for nth, photo in enumerate(files or [None])]
    problems = [str(answer.body["problem"]) for answer in answers if "problem" in answer.body]
    if problems:
        with reading() as session:
            build = snapshot(session, nr)
            code = request.form.get("code", "")
            scanned = code if request.form.get("then") == "item" and is_code(code) else ""
            return _page(session, build, code=scanned, typed=code, problem=" ".join(problems)), 422
    found = [f for answer in answers for f in answer.body.get("found", [])]
    flash(_found_text(found, sum(bool(answer.body.get("tray")) for answer in answers)), "done")
    first = next((f["subject"].partition(":")[2] for f in found if f.get("state") == "new"), None)
    if first and request.form.get("then") == "item":
        return redirect(url_for("cards.show", item_id=first))
    return redirect(url_for("takeoff.show", nr=nr))


def _take(build: Snapshot, nth: int, photo: bytes | None) -> IntakeAnswer:
    """Take in one of the photos that were sent together: the code that was typed belongs to the first."""
    sent = sent_fields()
    if nth == 0:
        return take_form(
            "capture",
            build.id,
            photo=photo,
            entry_id=sent.get("entry_id"),
            item=sent.get("item_id") or new_id(),
        )
    fields = fields_of(pair for pair in sent.pairs if pair[0] != "code")
    return take_form("capture", build.id, photo=photo, entry_id="", fields=fields, item=new_id())


def _found_text(found: list[dict[str, object]], in_tray: int) -> str:
    words = {"new": "new line", "used": "photo added to", "void": "void tag, not used:"}
    said = [
        f"{words[str(f['state'])]} {shown(str(f['code']))} #{f.get('number', '')}".rstrip(" #") for f in found
    ]
    said += [f"{f['number']} is not marked off: open it and mark it" for f in found if "not_off" in f]
    if in_tray:
        said.append(f"{in_tray} without a readable tag: in the tray")
    return "; ".join(said) or "Nothing was taken."


@bp.get("/T/<path:tail>")
@bp.get("/t/<path:tail>")
def scan(tail: str) -> ResponseReturnValue:
    """Answer a scanned tag: a blank one opens «new tag», a used one its item, a void one says so."""
    address = read_payload(request.path)
    if address is None:
        return render_template("takeoff/not_a_tag.html", tail=tail), 404
    with reading() as session:
        tag = tags.look_up(session, address.code)
        if tag.state == "void":
            hung = _address_of(tag.subject, None) if tag.subject else ""
            return render_template("takeoff/void.html", code=address.code, hung=hung), 410
        if tag.state == "used":
            return redirect(_address_of(tag.subject, address.half))
        builds = session.scalars(select(Build).order_by(Build.nr.desc())).all()
        if not builds:
            return redirect("/builds/new")
        return _page(session, snapshot(session, builds[0].nr), code=address.code)


@bp.post("/T/<code>/give")
def give(code: str) -> ResponseReturnValue:
    """Give a blank tag to something that is there already: an item by its number, or a place by its name."""
    wanted = request.form.get("to", "").strip()
    with unit_of_work() as session:
        nr = session.scalar(select(Build.nr).order_by(Build.nr.desc())) or 0
        build = snapshot(session, nr)
        subject = _named(build, wanted)
        if not subject or not is_code(code):
            problem = (
                f"There is no item or place «{wanted}». Type an item's running number or a place's name."
            )
            return _page(session, build, code=code, problem=problem), 422
        line = writer().line(f"tag:{code}", "give", {"to": subject})
        given = tags.give(session, code, subject, line, build_id=build.id, now=now_text())
    flash(
        "The tag is given." if given else "This tag is void or belongs to something else.",
        "done" if given else "problem",
    )
    return redirect(_address_of(subject, None))


def _named(build: Snapshot, wanted: str) -> str:
    """Return the subject that a person means by a running number or a place's name; empty if none."""
    item = item_of(wanted, (entry.item for entry in build.items))
    places = (f"place:{p.id}" for p in build.places.values() if p.name.casefold() == wanted.casefold())
    is_number = wanted.lstrip("#").isdecimal()
    named = "" if is_number else next(places, "")
    return named or ("" if isinstance(item, Problem) else f"item:{item.id}") or next(places, "")


@bp.post("/T/<code>/void")
def void(code: str) -> ResponseReturnValue:
    """Take a tag out of use for ever; what it hung on stays, and can be given another."""
    with unit_of_work() as session:
        tag = tags.look_up(session, code)
        line = writer().line(f"tag:{code}", "void", {})
        build_id = session.scalar(select(Build.id).order_by(Build.nr.desc()))
        done = tags.make_void(session, code, line, build_id=build_id, now=now_text())
    flash("The tag is void." if done else "This tag is not in use.", "done" if done else "problem")
    return redirect(_address_of(tag.subject, None) if tag.subject else "/")


def _address_of(subject: str, half: str | None) -> str:
    subject_type, _, subject_id = subject.partition(":")
    if subject_type == "place":
        return url_for("places.show", place_id=subject_id)
    return url_for("cards.show", item_id=subject_id, half=half)
