"""Both halves on the card: what was scanned first is in the hand, what is scanned next must belong to it."""

from datetime import timedelta
from typing import Any

from flask import request, session

from app.core.builds.snapshot import Entry, Snapshot
from app.core.gates.returning import moment
from app.core.items.items import Connection
from app.core.items.kinds import Act
from app.core.ledger.ledger import next_act
from app.core.ledger.pairs import Half, half_problem
from app.core.problem import Problem
from app.web.site.context import now, now_text

IN_HAND = timedelta(minutes=5)
"""So long a scanned half counts as in the hand (an estimate)."""


def asks_halves(entry: Entry) -> bool:
    """Tell whether the next act on a connection is the one for which both halves are read."""
    detail = entry.item.detail
    wants = isinstance(detail, Connection) and detail.both_halves
    return wants and next_act(entry.item, entry.state) is Act.LATCHED


def scanned_half(build: Snapshot, entry: Entry) -> tuple[dict[str, str], Problem | None]:
    """Return the half in hand with the code read on the other one, or that the two scans do not fit."""
    half = request.args.get("half", "")[:1]
    code = next(iter(build.tags.get(entry.subject, ())), "")
    if not half:
        return {}, None
    held = _held(build)
    if held is None or held[0].item.id == entry.item.id:
        session["half"] = {"item": entry.item.id, "half": half, "at": now_text()}
        first = held[1] if held else ""
        return {"half": first, "via": f"{code}/{half}"} if first and first != half else {"half": half}, None
    other, in_hand = held
    codes = build.tags.get(other.subject, ())
    paired = {e.to if e.frm == other.item.id else e.frm for e in build.edges if e.rel == "pairs"}
    if entry.item.id in paired:
        return {"half": half}, None
    return {"half": half}, half_problem(other.item, codes, Half(code, half), in_hand, entry.item)


def _held(build: Snapshot) -> tuple[Entry, str] | None:
    """Return the connection whose half was scanned a moment ago and still waits for the other."""
    kept: Any = session.get("half")
    entry = build.entries.get(str(kept.get("item"))) if isinstance(kept, dict) else None
    at = moment(str(kept.get("at"))) if entry else None
    if entry is None or at is None or now() - at > IN_HAND or not asks_halves(entry):
        return None
    return entry, str(kept.get("half"))[:1]
