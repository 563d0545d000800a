"""Addresses of earlier releases: a bookmark, or a page left open, is led to where the page is now."""

from flask import Blueprint, redirect, request
from flask.typing import ResponseReturnValue

bp = Blueprint("moved", __name__)

EARLIER = {
    "/waiting": "/outbox",
    "/b/<int:nr>/stores": "/b/{nr}/places",
    "/l/<place_id>": "/places/{place_id}",
    "/l/<place_id>/move": "/places/{place_id}/move",
    "/i/<item_id>/differently": "/i/{item_id}/exceptions",
    "/i/<item_id>/wait": "/i/{item_id}/outstanding",
    "/w/<outstanding_id>": "/outstanding/{outstanding_id}",
    "/w/<outstanding_id>/done": "/outstanding/{outstanding_id}/done",
    "/w/<outstanding_id>/again": "/outstanding/{outstanding_id}/again",
    "/w/<outstanding_id>/drop": "/outstanding/{outstanding_id}/drop",
    "/aside/<entry_id>": "/quarantine/{entry_id}",
}
"""An earlier address -> the present one."""


def _lead(**parts: object) -> ResponseReturnValue:
    """Lead on; the method and what was typed go along."""
    rule = request.url_rule
    there = EARLIER[rule.rule if rule else "/waiting"].format(**parts)
    query = request.query_string.decode("ascii", "replace")
    return redirect(f"{there}?{query}" if query else there, 308)


for _rule in EARLIER:
    bp.add_url_rule(_rule, "lead", _lead, methods=["GET", "POST"])
