"""The item's card: what it is, where it goes, what it takes, and the next act of its own ladder."""

import dataclasses
from functools import lru_cache
from typing import Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from markupsafe import Markup
from sqlalchemy.orm import Session

from app.core.items import DESTINIES, DETAIL, FATES, Fastener, Item
from app.core.kinds import BESIDE, LADDER, Act, Kind, rung
from app.core.ledger import count_pieces, needs, next_act
from app.core.problem import Problem
from app.core.sentences import act_words
from app.core.torque_text import parse_torque
from app.store import crew
from app.store.builds import layout
from app.store.clock import new_id
from app.store.items import add_item, first_line, set_edges
from app.store.journal import append, lines_of
from app.store.snapshot import Entry, Snapshot, ZoneFacts
from app.web.exceptions import turn_words
from app.web.form import read_number
from app.web.outbox import take_in
from app.web.shop import entry_of, now_text, reading, shop, unit_of_work, visitor, way_back, writer
from app.web.torque_view import aim, view
from app.web.wrench_view import WrenchLines, wrench_lines
from app.web.wrenches import today

bp = Blueprint("cards", __name__)
SHOWN_LINES = 8
SHOWN_BLOCKERS = 3


def act_form(entry: Entry, build: Snapshot) -> dict[str, Any]:
    """Return what the act form needs: the next rungs with their words, and what to name as seen."""
    item = entry.item
    upcoming = next_act(item, entry.state)
    top = rung(item.kind, needs(item))
    ladder = [
        a for a in LADDER[item.kind] if upcoming and rung(item.kind, upcoming) <= rung(item.kind, a) <= top
    ]
    ladder = [a for a in ladder if a not in {Act.STAGE, *(() if item.bleeds else (Act.BLED,))}]
    return {
        "next": upcoming.value if upcoming else "",
        "words": _next_words(item, upcoming, build) if upcoming else "",
        "rungs": [[a.value, act_words(item, a)] for a in ladder],
        "doers": sorted({p.person for p in entry.state.positions if p.person}),
        "after": list(entry.state.tips),
        "line_id": new_id(),
        "subject": entry.subject,
        "build": build.id,
        "asks_value": asks_value(item, upcoming),
        "aimed_at": aimed_at(item),
        "positions": [p.n for p in entry.state.positions] if item.n or item.positions > 1 else [],
    }


def _next_words(item: Item, upcoming: Act, build: Snapshot) -> str:
    """Return what the button says: the next act, and what it would skip."""
    skipped = build.skips(item.id)
    return act_words(item, upcoming) + (f", skips {len(skipped)} earlier" if skipped else "")


def aimed_at(item: Item) -> str:
    """Return the number that a group is tightened to, which the page offers as the value reached."""
    return aim(item.detail.torque) if isinstance(item.detail, Fastener) else ""


def asks_value(item: Item, act: str | None) -> bool:
    """Tell whether an act is asked for the value that was reached."""
    return item.kind is Kind.FASTENER and act == Act.TIGHT


@bp.get("/i/<item_id>")
def show(item_id: str) -> ResponseReturnValue:
    """Show a card."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
        return _card(session, build, entry)


def _card(session: Session, build: Snapshot, entry: Entry, problem: Problem | None = None) -> str:
    item = entry.item
    zone = build.zone.get(item.zone)
    people = crew.people(session)
    related = {e.frm if e.to == item.id else e.to: e for e in build.edges if item.id in (e.frm, e.to)}
    return render_template(
        "cards/show.html",
        entry=entry,
        item=item,
        zone=zone,
        step=build.step.get(item.step),
        plan=_plan(build.layout, build.zones, zone) if zone and zone.key else "",
        codes=build.tags.get(entry.subject, ()),
        photos=build.photos.get(entry.subject, ()),
        place=build.place_path(entry.state.place.value),
        blocked=build.blocked_by(item.id)[:SHOWN_BLOCKERS],
        turn=turn_words(build, item.id),
        related=[(build.entries[i], edge) for i, edge in related.items() if i in build.entries],
        form=act_form(entry, build),
        torque=_torque(item),
        settings=_settings(session, item),
        alike=_alike(build, item),
        people=crew.doers(session),
        names={person.id: person.name for person in people},
        lines=lines_of(session, entry.subject, newest=SHOWN_LINES),
        pieces=count_pieces(item, entry.state),
        states=[(a.value, act_words(item, a)) for a in _states(item)],
        destinies=DESTINIES,
        fates=FATES,
        places=build.places.values(),
        problem=problem,
        half=request.args.get("half", ""),
        line_id=new_id(),
    )


@lru_cache(maxsize=256)
def _plan(layout_key: str, zones: tuple[ZoneFacts, ...], zone: ZoneFacts) -> Markup:
    """Return the bay's drawing with one zone marked: the same for every item of the zone, so drawn once."""
    drawn = render_template(
        "parts/plan.html", layout=layout(layout_key), zones=zones, level=zone.level, current=zone.id
    )
    return Markup(drawn)  # noqa: S704 - rendered by a template, which escaped it


def _states(item: Item) -> list[Act]:
    """Return every state that the item can be in but the second look, which has its own way."""
    ladder = [act for act in LADDER[item.kind] if act not in {Act.STAGE, Act.CHECKED}]
    return [ladder[0], *BESIDE[item.kind], *ladder[1:]]


def _torque(item: Item) -> dict[str, str] | None:
    """Return a fastener's torque for the card, or nothing where none is known."""
    if not isinstance(item.detail, Fastener) or not item.detail.torque:
        return None
    return view(item.detail.torque)


def _settings(session: Session, item: Item) -> WrenchLines | None:
    """Return which wrench a fastener's torque asks for, with the adapter that is on it."""
    if not isinstance(item.detail, Fastener):
        return None
    return wrench_lines(session, item.detail.torque, request.args.get("adapter", ""), today())


def _alike(build: Snapshot, item: Item) -> list[Entry]:
    """Return look-alikes: groups that were marked as such by the same word."""
    word = item.detail.look_alike if isinstance(item.detail, Fastener) else ""
    if not word:
        return []
    return [
        e
        for e in build.items
        if e.item.id != item.id and isinstance(e.item.detail, Fastener) and e.item.detail.look_alike == word
    ]


@bp.post("/i/<item_id>/line")
def line(item_id: str) -> ResponseReturnValue:
    """Write one line about an item from a form: a mark, an undo, a destiny, a fate, a piece, a move."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
        body = _body(entry)
        problem = (
            body if isinstance(body, Problem) else refuse_look(entry, body, request.form.get("person", ""))
        )
        if isinstance(body, Problem) or problem:
            return _card(session, build, entry, problem), 422
    answer = take_in(
        {
            "id": request.form.get("line_id") or new_id(),
            "sort": "line",
            "folder": shop().folder.id,
            "build": build.id,
            "subject": entry.subject,
            "verb": request.form.get("verb", "mark"),
            "body": body,
            "after": request.form.getlist("after"),
            "person": request.form.get("person", ""),
        },
        None,
    )
    if "problem" in answer.body:
        flash(str(answer.body["problem"]), "problem")
    else:
        flash("Written down.", "done")
    return redirect(way_back(url_for("cards.show", item_id=item_id)))


def refuse_look(entry: Entry, body: dict[str, Any], person: str) -> Problem | None:
    """Refuse a second look by the doer, unless they say that they looked again, alone, after a break."""
    if body.get("act") != Act.CHECKED or body.get("alone"):
        return None
    doers = {p.person for p in entry.state.positions if p.person}
    if (person or visitor().person) not in doers:
        return None
    return Problem(
        "own-look",
        "The second look is for another person than the one who did it. Choose who looked; "
        "or, if you are alone, look again after a break and tick «alone».",
        "person",
    )


def _body(entry: Entry) -> dict[str, Any] | Problem:
    """Return what a form says, as a line's body."""
    form = request.form
    body: dict[str, Any] = {
        key: form[key] for key in ("act", "destiny", "fate", "piece", "place", "line") if form.get(key)
    }
    if form.get("verb") == "count" and "piece" in form:
        body["piece"] = form["piece"]
    if reason := form.get("reason", "").strip():
        body["reason"] = reason[:200]
    if form.get("alone"):
        body["alone"] = True
    chosen = [read_number(n) for n in form.getlist("pos")]
    if form.get("has_pos"):
        if not chosen:
            return Problem("no-positions", "Tick at least one of the positions that this is about.", "pos")
        body["pos"] = chosen
    if (
        form.get("verb") == "dispose"
        and body.get("destiny") in {"left_out", "stays_on_old"}
        and "reason" not in body
    ):
        return Problem(
            "reason", "Say in a few words why it does not go back: somebody will ask in a year.", "reason"
        )
    return _reached(entry, body)


def _reached(entry: Entry, body: dict[str, Any]) -> dict[str, Any] | Problem:
    """Add the value that was reached: with its unit, or by feel."""
    value = request.form.get("reached", "").strip()
    unit = request.form.get("reached_unit", "")
    if request.form.get("by_feel"):
        return body | {"reached": "by feel"}
    if not value and "reached" in request.form and asks_value(entry.item, body.get("act")):
        return Problem("reached-missing", "Type the value that was reached, or tick «by feel».", "reached")
    if not value:
        return body
    text = f"{value} {unit}".strip()
    if entry.item.kind is Kind.FASTENER:
        read = parse_torque(text)
        if isinstance(read, Problem):
            return Problem(read.code, read.message, "reached")
    return body | {"reached": text}


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
        new = Item(new_id(), 0, entry.item.kind, name, entry.item.step, entry.item.zone, entry.item.n)
        new = dataclasses.replace(
            new, critical=entry.item.critical, owner="new engine", detail=DETAIL[new.kind]()
        )
        who = visitor()
        first = first_line(
            new, line_id=new_id(), act=None, person=who.person, device=who.device, at=now_text()
        )
        add_item(session, new, first, build_id=build.id, now=now_text())
        set_edges(session, new.id, "replaces", {item_id})
        told = writer().line(entry.subject, "dispose", {"destiny": "replaced", "reason": name})
        told = dataclasses.replace(told, after=frozenset(entry.state.tips))
        append(session, told, build_id=build.id, now=now_text())
    flash("The new one stands in its place. Say what becomes of the old one.", "done")
    return redirect(url_for("cards.show", item_id=new.id))


@bp.get("/i/<item_id>/form")
def form(item_id: str) -> ResponseReturnValue:
    """Send the act form alone, for a page that swaps it after a mark."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
        people = crew.doers(session)
    return render_template(
        "cards/_fresh.html",
        entry=entry,
        item=entry.item,
        form=act_form(entry, build),
        people=people,
        compact="compact" in request.args,
    )
