"""What a form of a card says, as the body of a line: acts, pieces, values, litres, lengths, reasons."""

from typing import Any

from flask import request

from app.core.builds.snapshot import Entry
from app.core.items.amounts import read_litres
from app.core.items.kinds import Act, Kind
from app.core.ledger.dispositions import reason_problem
from app.core.problem import Problem
from app.core.threads.positions import read_lengths
from app.core.torque.text import parse_torque
from app.web.cards.act_forms import asks_value
from app.web.cards.pairs import asks_halves
from app.web.site.context import visitor
from app.web.site.form import read_number

PLAIN_KEYS = ("act", "destiny", "fate", "piece", "place", "line", "wrench", "caution", "torque", "half")
"""What goes into the body as it was sent; whether it can be read is judged where the line is taken in."""
Body = dict[str, Any]


def body_of_form(entry: Entry) -> Body | Problem:
    """Return what the form that was sent says about an item, or what is missing in it."""
    body = _plain()
    for part in (_both_halves, _positions, _why, _amounts, _lengths, _reached):
        found = part(entry, body)
        if isinstance(found, Problem):
            return found
        body |= found
    return body


def _plain() -> Body:
    form = request.form
    body: Body = {key: form[key] for key in PLAIN_KEYS if form.get(key)}
    if body.get("act") == Act.STAGE:
        body["stage"] = read_number(form.get("stage", ""))
    if form.get("verb") == "count" and "piece" in form:
        body["piece"] = form["piece"]
    if reason := form.get("reason", "").strip():
        body["reason"] = reason[:200]
    if form.get("alone"):
        body["alone"] = True
    return body


def _both_halves(entry: Entry, body: Body) -> Body | Problem:
    via = request.form.get("via", "").strip()
    if via:
        return {"via": via[:200]}
    if "via" in request.form and asks_halves(entry) and body.get("act") == Act.LATCHED:
        return Problem("via-missing", "Scan or type the code on the other half.", f"via-{entry.item.id}")
    return {}


def _positions(_: Entry, __: Body) -> Body | Problem:
    if not request.form.get("has_pos"):
        return {}
    chosen = [read_number(n) for n in request.form.getlist("pos")]
    if not chosen:
        return Problem("no-positions", "Tick at least one of the positions that this is about.", "pos")
    return {"pos": chosen}


def _why(entry: Entry, body: Body) -> Body | Problem:
    """Refuse what must be said in words and is not: a decision, and why something does not go back."""
    if "reason" in body:
        return {}
    if body.get("act") == Act.DECIDED:
        return Problem("decision", "Say in a few words what was decided.", f"d-{entry.item.id}")
    destiny = str(body.get("destiny", "")) if request.form.get("verb") == "dispose" else ""
    return reason_problem(destiny, "") or {}


def _amounts(entry: Entry, body: Body) -> Body | Problem:
    """Return the litres of a fluid's line, or the answer that they are right."""
    form = request.form
    if form.get("verb") == "acknowledge" and form.get("amounts") == "right":
        if "reason" in body:
            return {"amounts": "right", "caution": "fill-short", "torque": ""}
        return Problem("reason", "Say in a few words why less went in than came out.", "amounts-reason")
    measured = form.get("verb") == "count"
    if entry.item.kind is not Kind.FLUID or "litres" not in form:
        return {}
    if not form["litres"].strip() and not measured:
        return {}
    litres = read_litres(form["litres"])
    if isinstance(litres, Problem):
        return litres
    return {"litres": litres} | ({"of": form.get("of", "drained")} if measured else {})


def _lengths(entry: Entry, _: Body) -> Body | Problem:
    if "lengths" not in request.form:
        return {}
    text = request.form["lengths"].strip()
    lengths = read_lengths(text, entry.item.positions)
    if isinstance(lengths, Problem):
        return Problem(lengths.code, lengths.message, "fitted-lengths")
    return {"lengths": text}


def _reached(entry: Entry, body: Body) -> Body | Problem:
    """Return the value that was reached: with its unit, or by feel."""
    value = request.form.get("reached", "").strip()
    if request.form.get("by_feel"):
        return {"reached": "by feel"}
    if not value and "reached" in request.form and asks_value(entry.item, body.get("act")):
        return Problem("reached-missing", "Type the value that was reached, or tick «by feel».", "reached")
    if not value:
        return {}
    text = f"{value} {request.form.get('reached_unit', '')}".strip()
    read = parse_torque(text) if entry.item.kind is Kind.FASTENER else None
    return Problem(read.code, read.message, "reached") if isinstance(read, Problem) else {"reached": text}


def refuse_look(entry: Entry, body: Body, person: str) -> Problem | None:
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
