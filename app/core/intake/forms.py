"""A form as an entry: what it says becomes a line or a capture, by one function whoever sent it and when."""

from collections.abc import Mapping
from typing import Any

from app.core.intake import facts, marks
from app.core.intake.fields import Fields, read_fields
from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.problem import Problem
from app.core.tags import read_typed

CAPTURE_FIELDS = frozenset(
    {"csrf_token", "entry_id", "item_id", "code", "then", "kind", "step", "zone", "act", "person", "closes"}
)
FINDING_FIELDS = frozenset({"csrf_token", "entry_id", "item_id", "what", "blocks", "person"})
ENVELOPE = ("id", "folder", "build", "subject", "at")
"""What an entry says besides its form: who it is and what it is about."""

Entry = dict[str, Any]


def entry_of_form(entry: Mapping[str, Any], item: Item | None) -> Entry | Problem | None:
    """Return the line or the capture that a form says.

    Args:
        entry: `form` names the form, `fields` are its fields as (name, value).
        item: What it is about, where it is here.

    Returns:
        A `Problem` where something is missing in the form; `None` where it is a form that no release up to
        this one has, or one about something that is not here.
    """
    fields = read_fields(entry.get("fields"))
    if fields is None:
        return None
    form = entry.get("form")
    envelope = {key: entry[key] for key in ENVELOPE if key in entry}
    if form == "mark" and item is not None and fields.names <= marks.FIELD_NAMES:
        return _line(envelope, fields, marks.mark_body(item, fields))
    if form == "fact" and _is_fact(fields):
        return _line(envelope, fields, facts.fact_body(fields))
    if form == "capture" and fields.names <= CAPTURE_FIELDS:
        return _capture(envelope, entry, fields)
    if form == "finding" and fields.names <= FINDING_FIELDS:
        return _finding(envelope, entry, fields)
    return None


def _is_fact(fields: Fields) -> bool:
    return all(name in facts.FIELD_NAMES or name.startswith("body.") for name in fields.names)


def _line(envelope: Entry, fields: Fields, body: dict[str, Any] | Problem) -> Entry | Problem:
    if isinstance(body, Problem):
        return body
    return {
        **envelope,
        "type": "line",
        "verb": fields.get("verb", "mark"),
        "body": body,
        "after": fields.all("after"),
        "person": fields.get("person"),
    }


def _capture(envelope: Entry, entry: Mapping[str, Any], fields: Fields) -> Entry | Problem:
    typed = fields.get("code").strip()
    code = read_typed(typed) if typed else ""
    if isinstance(code, Problem):
        return code
    return {
        **envelope,
        "type": "capture",
        "item": entry.get("item"),
        "kind": fields.get("kind", "connection"),
        "act": fields.get("act"),
        "step": fields.get("step"),
        "zone": fields.get("zone"),
        "code": code,
        "closes": fields.get("closes"),
        "person": fields.get("person"),
    }


def _finding(envelope: Entry, entry: Mapping[str, Any], fields: Fields) -> Entry:
    return {
        **envelope,
        "type": "capture",
        "item": entry.get("item"),
        "kind": Kind.FINDING.value,
        "about": entry.get("about"),
        "what": fields.get("what"),
        "blocks": bool(fields.get("blocks")),
        "person": fields.get("person"),
    }
