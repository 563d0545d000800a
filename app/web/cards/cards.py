"""The item's card: what it is, where it goes, what it takes, and the next act of its own ladder."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from markupsafe import Markup
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot, ZoneFacts
from app.core.items.items import Fastener, Item
from app.core.items.journal import Line
from app.core.items.kinds import BESIDE, LADDER, Act, Kind
from app.core.ledger.ledger import length_warnings, reading_in
from app.core.problem import Problem
from app.core.threads.positions import is_mixed
from app.core.tightening.parsed import holes_of, parsed
from app.core.tightening.torque_table import cautions_of
from app.core.torque.wrenches import Adapter, Wrench
from app.core.wording.destinies import DESTINY_TEXT, FATE_TEXT
from app.core.wording.items import act_text
from app.core.wording.outstanding import joined
from app.store import crew
from app.store.db.clock import new_id
from app.store.journal import lines_of
from app.store.plan.builds import layout
from app.store.plan.engines import replace_with_new
from app.web.cards.act_forms import act_form
from app.web.cards.caution_view import step_cautions
from app.web.cards.face_view import face_of, under_name
from app.web.cards.fact_view import item_facts
from app.web.cards.ladder_view import ladder
from app.web.cards.lines import refuse_form
from app.web.cards.offered import acts_offered, found_here, heading_of, offered
from app.web.cards.pairs import scanned_half
from app.web.cards.pattern_view import pattern_view
from app.web.cards.stage_view import stage_rows
from app.web.cards.torque_view import TorqueView, view
from app.web.cards.wrench_view import adapter_on, owned_wrenches, wrench_lines
from app.web.gates.gates import shut_before
from app.web.intake.fact import send_fact
from app.web.intake.form import sent_fields, take_form
from app.web.site.context import (
    entry_of,
    now_text,
    reading,
    today,
    unit_of_work,
    visitor,
    way_back,
    writer,
)
from app.web.site.form import status_of
from app.web.site.who import person_choices

bp = Blueprint("cards", __name__)
SHOWN_LINES = 8
UNDONE_BY_TAP = frozenset({"mark", "count", "dispose", "fate", "settle", "move"})


@bp.get("/i/<item_id>")
def show(item_id: str) -> ResponseReturnValue:
    """Show a card."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
        scan, problem = scanned_half(build, entry)
        return _card(session, build, entry, problem, scan)


def _card(
    session: Session,
    build: Snapshot,
    entry: Entry,
    problem: Problem | None = None,
    scan: dict[str, str] | None = None,
) -> str:
    item = entry.item
    zone = build.zone.get(item.zone)
    people = crew.doers(session)
    owned = owned_wrenches(session) if item.kind is Kind.FASTENER else ()
    lines = _happened(session, entry.subject)
    guarded = shut_before(session, build, [item.id]) if item.kind is Kind.STEP else {}
    related = {e.frm if e.to == item.id else e.to: e for e in build.edges if item.id in (e.frm, e.to)}
    first = offered(build, entry, guarded.get(item.id))
    form = act_form(entry, build, owned, people, adapter=_adapter(session), me=visitor().person)
    return render_template(
        "cards/show.html",
        entry=entry,
        item=item,
        guarded=guarded,
        plan=_plan(build.layout, build.zones, zone) if zone and zone.key else "",
        codes=build.tags.get(entry.subject, ()),
        face=face_of(build, entry),
        rungs=ladder(entry),
        known=item_facts(entry, build.place_path(entry.state.place.value)),
        found=found_here(build, entry),
        **first,
        **acts_offered(entry, first, is_last=not form["next"]),
        **heading_of(build, entry, apart=first["apart"]),
        **step_cautions(build, entry, apart=first["apart"]),
        related=[(build.entries[i], edge) for i, edge in related.items() if i in build.entries],
        form=form,
        torque=_torque(item),
        **_tightening(session, entry, owned),
        alike=_alike(build, item),
        people=people,
        who=person_choices(people, visitor().person),
        names={person.id: person.name for person in crew.people(session)},
        lines=lines,
        last=_last_to_undo(lines),
        where=joined(_zone_text(item, zone), under_name(item)),
        states=[(a.value, act_text(item, a)) for a in _states(item)],
        destinies=[(key, words) for key, words in DESTINY_TEXT.items() if key != "replaced"],
        fates=FATE_TEXT.items(),
        problem=problem,
        more_open=problem is not None and request.form.get("verb", "mark") not in {"mark", "settle"},
        half=request.args.get("half", ""),
        scan=scan or {"half": request.form.get("half", "")[:1]},
        line_id=new_id(),
        photo_entry_id=new_id(),
    )


def _adapter(session: Session) -> Adapter | None:
    chosen = request.args.get("adapter", "")
    return adapter_on(session, chosen) if chosen else None


def _happened(session: Session, subject: str) -> list[Line]:
    """Return the newest lines about a thing; not those that only say again what is known."""
    newest = lines_of(session, subject, newest=SHOWN_LINES + 1)
    return [line for line in newest if not line.record.stated][-SHOWN_LINES:]


def _last_to_undo(lines: Sequence[Line]) -> Line | None:
    """Return the newest line that one tap takes back, if there is one."""
    return next((line for line in reversed(lines) if line.verb in UNDONE_BY_TAP), None)


def _zone_text(item: Item, zone: ZoneFacts | None) -> str:
    if item.kind is Kind.STEP:
        return ""
    return zone.label if zone else "no zone yet"


@lru_cache(maxsize=256)
def _plan(layout_key: str, zones: tuple[ZoneFacts, ...], zone: ZoneFacts) -> Markup:
    """Return the bay's drawing with one zone marked: the same for every item of the zone, so drawn once."""
    drawn = render_template(
        "site/parts/plan.html", layout=layout(layout_key), zones=zones, level=zone.level, current=zone.id
    )
    return Markup(drawn)  # noqa: S704 - rendered by a template, which escaped it


def _states(item: Item) -> list[Act]:
    """Return every state that the item can be in but the second look, which has its own way."""
    ladder = [act for act in LADDER[item.kind] if act not in {Act.STAGE, Act.CHECKED}]
    return [ladder[0], *BESIDE[item.kind], *ladder[1:]]


def _torque(item: Item) -> TorqueView | None:
    """Return a fastener's torque for the card, or nothing where none is known."""
    if not isinstance(item.detail, Fastener) or not item.detail.torque:
        return None
    return view(item.detail)


def _tightening(session: Session, entry: Entry, owned: Sequence[Wrench]) -> dict[str, Any]:
    """Return what a group's card says besides its torque: wrenches, stages, holes, pattern, cautions."""
    item, group = entry.item, entry.item.detail
    if not isinstance(group, Fastener):
        return {}
    holes = holes_of(item)
    settings = wrench_lines(session, group, owned, request.args.get("adapter", ""), today())
    return {
        "settings": settings,
        "set_on": settings.stages
        if settings and len(settings.stages) == 1 and settings.stages[0].name
        else (),
        "stages": stage_rows(entry, settings),
        "mixed": holes if is_mixed(holes) else (),
        "length_warnings": length_warnings(item, entry.state),
        **_reading(entry, group),
        "torque_cautions": [(caution, _seen_by(entry, caution.code)) for caution in cautions_of(group)],
        "pattern": pattern_view(item, entry.state),
    }


def _reading(entry: Entry, group: Fastener) -> dict[str, Any]:
    """Return how a group's torque is read, who confirmed that, and why it cannot be read."""
    found, problem = reading_in(entry.item, entry.state), parsed(group).torque_problem
    said = (found.print, found.read_as)
    return {
        "reading": found,
        "confirmed_by": next((c for c in entry.state.confirmed if (c.torque, c.reading) == said), None),
        "torque_problem": problem.message if problem else "",
    }


def _seen_by(entry: Entry, caution: str) -> str:
    """Return who acknowledged a caution about the torque as it is written now; empty for nobody."""
    torque = getattr(entry.item.detail, "torque", "")
    return next(
        (a.person for a in entry.state.acknowledged if a.caution == caution and a.torque == torque), ""
    )


def _alike(build: Snapshot, item: Item) -> list[Entry]:
    """Return look-alikes: groups and connections that were marked as such by the same word."""
    word = getattr(item.detail, "look_alike", "")
    if not word:
        return []
    return [
        e for e in build.items if e.item.id != item.id and getattr(e.item.detail, "look_alike", "") == word
    ]


@bp.post("/i/<item_id>/line")
def line(item_id: str) -> ResponseReturnValue:
    """Write one line about an item from a form: a mark, an undo, a destiny, a fate, a piece, a move."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
        problem = refuse_form(entry, sent_fields())
        if problem:
            return _card(session, build, entry, problem), 422
    answer = take_form("mark", build.id, subject=entry.subject, entry_id=request.form.get("line_id", ""))
    if answer.body.get("where") == "via":
        with reading() as session:
            build, entry = entry_of(session, item_id)
            problem = Problem(str(answer.body["code"]), str(answer.body["problem"]), f"via-{item_id}")
            return _card(session, build, entry, problem), 422
    if "problem" in answer.body:
        flash(str(answer.body["problem"]), "problem")
    else:
        flash(str(answer.body.get("quarantined", "Written down.")), "done")
    return redirect(way_back(url_for("cards.show", item_id=item_id)))


@bp.post("/i/<item_id>/explain")
def explain(item_id: str) -> ResponseReturnValue:
    """Write down why what the judge of sequence asks about is right as it is."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
    problem = send_fact(build.id, entry.subject, done=lambda _verb, _body: "Saved, with your name.")
    if problem:
        with reading() as session:
            build, entry = entry_of(session, item_id)
            return _card(session, build, entry, problem), status_of(problem)
    return redirect(url_for("cards.show", item_id=item_id))


@bp.post("/i/<item_id>/replace")
def replace(item_id: str) -> ResponseReturnValue:
    """Put a new item in the place of this one; the old one's line stays open until its fate is said."""
    name = request.form.get("name", "").strip()[:120]
    with unit_of_work() as session:
        build, entry = entry_of(session, item_id)
        if entry.item.kind is Kind.STEP:
            abort(404)
        if not name:
            return _card(session, build, entry, Problem("name", "Say what replaces it.", "name")), 422
        new = replace_with_new(session, build, item_id, name, writer=writer(), now=now_text())
    flash("The new one stands in its place. Say what becomes of the old one.", "done")
    return redirect(url_for("cards.show", item_id=new))


@bp.get("/i/<item_id>/form")
def fresh(item_id: str) -> ResponseReturnValue:
    """Send the act form alone, for a page that swaps it after a mark."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
        people = crew.doers(session)
        owned = owned_wrenches(session)
        me = visitor().person
        form = act_form(entry, build, owned, people, adapter=_adapter(session), me=me)
        tightening = _tightening(session, entry, owned)
    return render_template(
        "cards/_fresh.html",
        entry=entry,
        item=entry.item,
        form=form,
        people=people,
        who=person_choices(people, me),
        rungs=ladder(entry),
        **tightening,
    )
