"""What a card offers first, and what does not fit: said with its offer, and answered where it asks."""

from dataclasses import dataclass
from typing import Any

from flask import url_for

from app.core.builds.next_act import before_of, comes_back_unturned, direction_of
from app.core.builds.snapshot import Entry, Snapshot
from app.core.consistency.findings import Verdict
from app.core.gates.gate_state import GateState
from app.core.items.kinds import Kind
from app.core.phases.milestones import APART
from app.core.wording.consistency import finding_text, offer_text
from app.core.wording.items import item_title, numbered
from app.core.wording.order import MILESTONE_TEXTS
from app.core.wording.phases import units_text
from app.web.cards.install_exceptions import turn_text

SHOWN_BLOCKERS = 3


@dataclass(frozen=True, slots=True)
class Blocker:
    """What must come first.

    Args:
        entry: That other line.
        lead: What stands before its name: what is done with it.
    """

    entry: Entry
    lead: str


def offered(build: Snapshot, entry: Entry, gate: GateState[Entry] | None = None) -> dict[str, Any]:
    """Return what the card offers first: to go on taking off, what must come before it, or its own act.

    Args:
        build: As it stands.
        entry: The thing or the step.
        gate: The one before its act, while that is not green.
    """
    apart = direction_of(build, entry.item.id) == APART and bool(entry.goes_back or not entry.begun)
    before = None if apart or not entry.goes_back else before_of(build, entry.item.id)
    first = href = ""
    if before and before.entry:
        first = f"First: {item_title(before.entry.item)}, {before.entry.item.number or 'step'}"
        href = url_for("cards.show", item_id=before.entry.item.id)
    elif before:
        first = f"First: {MILESTONE_TEXTS[before.milestone]}"
        href = url_for("phases.show", nr=build.nr)
    elif apart and entry.begun and comes_back_unturned(build, entry.item.id):
        first, href = "First: does the engine go together now?", url_for("phases.show", nr=build.nr)
    elif gate:
        first = f"First: {gate.gate.title}"
        href = url_for("gates.show", nr=build.nr, gate=gate.gate.key)
    return {
        "apart": apart,
        "first": first,
        "first_href": href,
        "blocked": _shown_blockers(build, entry, apart=apart),
        "turn": [] if apart else turn_text(build, entry.item.id),
    }


def _shown_blockers(build: Snapshot, entry: Entry, *, apart: bool) -> tuple[Blocker, ...]:
    """Return what must come first; while it still comes apart, only what waits for a decision."""
    found = build.blocked_by(entry.item.id)
    waiting = [(e, e.item.kind is Kind.FINDING) for e in found]
    shown = [(e, is_finding) for e, is_finding in waiting if is_finding or not apart][:SHOWN_BLOCKERS]
    return tuple(Blocker(e, "First: decide " if is_finding else "First: ") for e, is_finding in shown)


@dataclass(frozen=True, slots=True)
class FoundHere:
    """What the judge of sequence says of a thing, what is offered, and how it is answered where it asks."""

    text: str
    offer: str
    asks: bool
    key: str
    seen: tuple[str, ...]
    other: str


def found_here(build: Snapshot, entry: Entry) -> list[FoundHere]:
    """Return what the judge of sequence finds of a thing and nobody has answered."""
    here = [each for each in build.findings if each.item == entry.item.id]
    return [
        FoundHere(
            finding_text(each, item_title(entry.item), _other(build, each.other)),
            offer_text(each, item_title(entry.item), _other(build, each.other)),
            each.verdict is Verdict.ASKS,
            each.key,
            each.seen,
            each.other if each.other in build.entries else "",
        )
        for each in here
    ]


def _other(build: Snapshot, other: str) -> str:
    if other in build.entries:
        return numbered(build.entries[other].item)
    return units_text([other], build.swap.units)
