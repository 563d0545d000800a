"""What a form of a card says, as the body of a line: acts, pieces, values, litres, lengths, reasons."""

from typing import Any

from app.core.intake.fields import Fields, read_number
from app.core.intake.reached import reached_body
from app.core.items.amounts import read_litres
from app.core.items.items import Connection, Item
from app.core.items.kinds import Act, Kind
from app.core.problem import Problem
from app.core.threads.positions import read_lengths

PLAIN_KEYS = (
    "act",
    "destiny",
    "fate",
    "piece",
    "place",
    "line",
    "wrench",
    "caution",
    "torque",
    "reading",
    "half",
)
"""What goes into the body as it was sent; whether it can be read is judged where the line is taken in."""

FIELD_NAMES = frozenset(PLAIN_KEYS) | {
    *("verb", "after", "person", "line_id", "back", "csrf_token", "stage", "has_pos", "pos", "reason"),
    *(
        "alone",
        "round",
        "via",
        "reached",
        "reached_unit",
        "by_feel",
        "way",
        "tool",
        "litres",
        "of",
        "amounts",
        "lengths",
    ),
}
"""Every field that a card's form has in any release up to this one."""

Body = dict[str, Any]


def mark_body(item: Item, fields: Fields) -> Body | Problem:
    """Return what a card's form says about an item, or what is missing in it."""
    body = _plain(item, fields)
    for part in (_both_halves, _positions, _why, _amounts, _lengths, _reached):
        found = part(item, fields, body)
        if isinstance(found, Problem):
            return found
        body |= found
    return body


def asks_value(item: Item, act: str | None) -> bool:
    """Tell whether an act is asked for the value that was reached."""
    return item.kind is Kind.FASTENER and act == Act.TIGHT


def _plain(item: Item, fields: Fields) -> Body:
    body: Body = {key: fields.get(key) for key in PLAIN_KEYS if fields.get(key)}
    act = body.get("act")
    if act == Act.STAGE:
        body["stage"] = read_number(fields.get("stage"))
    if not asks_value(item, act):
        body.pop("wrench", None)
    if act != Act.LATCHED:
        body.pop("half", None)
    if fields.get("verb") == "count" and "piece" in fields:
        body["piece"] = fields.get("piece")
    if reason := fields.get("reason").strip():
        body["reason"] = reason[:200]
    if fields.get("alone"):
        body["alone"] = True
    if act == Act.CHECKED and fields.get("round"):
        body["round"] = read_number(fields.get("round"))
    return body


def _both_halves(item: Item, fields: Fields, body: Body) -> Body | Problem:
    via = fields.get("via").strip()
    latches = body.get("act") == Act.LATCHED
    if via:
        return {"via": via[:200]} if latches else {}
    if "via" in fields and isinstance(item.detail, Connection) and item.detail.both_halves and latches:
        return Problem("via-missing", "Scan or type the code on the other half.", f"via-{item.id}")
    return {}


def _positions(_: Item, fields: Fields, __: Body) -> Body | Problem:
    if not fields.get("has_pos"):
        return {}
    chosen = [read_number(n) for n in fields.all("pos")]
    if not chosen:
        return Problem("no-positions", "Tick at least one of the positions that this is about.", "pos")
    return {"pos": chosen}


def _why(item: Item, fields: Fields, body: Body) -> Body | Problem:
    """Refuse what must be said in words and is not: a decision, and why something does not go back."""
    if "reason" in body:
        return {}
    if body.get("act") == Act.DECIDED:
        return Problem("decision", "Say in a few words what was decided.", f"d-{item.id}")
    if fields.get("verb") == "dispose" and body.get("destiny") in {"left_out", "stays_on_old"}:
        return Problem(
            "reason", "Say in a few words why it does not go back: somebody will ask in a year.", "reason"
        )
    return {}


def _amounts(item: Item, fields: Fields, body: Body) -> Body | Problem:
    """Return the litres of a fluid's line, or the answer that they are right."""
    if fields.get("verb") == "acknowledge" and fields.get("amounts") == "right":
        if "reason" in body:
            return {"amounts": "right", "caution": "fill-short", "torque": ""}
        return Problem("reason", "Say in a few words why less went in than came out.", "amounts-reason")
    measured = fields.get("verb") == "count"
    if item.kind is not Kind.FLUID or "litres" not in fields:
        return {}
    if not fields.get("litres").strip() and not measured:
        return {}
    litres = read_litres(fields.get("litres"))
    if isinstance(litres, Problem):
        return litres
    return {"litres": litres} | ({"of": fields.get("of", "drained")} if measured else {})


def _lengths(item: Item, fields: Fields, _: Body) -> Body | Problem:
    if "lengths" not in fields:
        return {}
    text = fields.get("lengths").strip()
    lengths = read_lengths(text, item.positions)
    if isinstance(lengths, Problem):
        return Problem(lengths.code, lengths.message, "fitted-lengths")
    return {"lengths": text}


def _reached(item: Item, fields: Fields, body: Body) -> Body | Problem:
    """Return what was reached, where that is asked."""
    return reached_body(fields) if asks_value(item, body.get("act")) else {}
