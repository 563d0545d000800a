"""What a card offers first, and what does not fit: said with its offer, and answered where it asks."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import url_for

from app.core.builds.next_act import before_of, comes_back_unturned, direction_of, why_before
from app.core.builds.snapshot import Entry, Snapshot
from app.core.consistency.findings import Verdict
from app.core.gates.gate_state import GateState
from app.core.items.kinds import Kind
from app.core.items.roles import Way
from app.core.items.step_names import step_instruction, step_name
from app.core.phases.milestones import APART
from app.core.wording.consistency import finding_text, offer_text
from app.core.wording.items import KIND_WORDS, item_title, numbered
from app.core.wording.order import MILESTONE_TEXTS, why_first_text
from app.core.wording.phases import units_text
from app.web.cards.install_exceptions import stated_text, turn_text

SHOWN_BLOCKERS = 3


@dataclass(frozen=True, slots=True)
class Blocker:
    """What must come first.

    Args:
        entry: That other line.
        lead: What stands before its name: what is done with it.
        why: Why it comes first; empty where the order alone says so.
    """

    entry: Entry
    lead: str
    why: str


def offered(build: Snapshot, entry: Entry, gate: GateState[Entry] | None = None) -> dict[str, Any]:
    """Return what the card offers first: to go on taking off, what must come before it, or its own act.

    Args:
        build: As it stands.
        entry: The thing or the step.
        gate: The one before its act, while that is not green.
    """
    apart = direction_of(build, entry.item.id) == APART and bool(entry.goes_back or not entry.begun)
    before = None if apart or not entry.goes_back else before_of(build, entry.item.id)
    first = href = why = ""
    if before and before.entry:
        lead = _lead(before.entry)
        first = f"{lead}{item_title(before.entry.item)}, {before.entry.item.number or 'step'}"
        why = _why(build, entry, before.entry)
        href = url_for("cards.show", item_id=before.entry.item.id)
    elif before:
        first = f"First: {MILESTONE_TEXTS[before.milestone]}"
        href = url_for("phases.show", nr=build.nr)
    elif apart and entry.begun and comes_back_unturned(build, entry.item.id):
        first, href = "First: does the engine go together now?", url_for("phases.show", nr=build.nr)
    elif gate:
        first = f"First: {gate.gate.title}"
        href = url_for("gates.show", nr=build.nr, gate=gate.gate.key)
    elif closing := _closing(entry):
        first, href = closing
    return {
        "apart": apart,
        "first": first,
        "first_href": href,
        "first_why": why,
        "blocked": _shown_blockers(build, entry, apart=apart, large=before.entry if before else None),
        "stated": "" if apart or build.cycle else stated_text(build, entry.item.id),
        "turn": [] if apart else turn_text(build, entry.item.id),
    }


_CLOSED_BY = {
    "piece-lost": ("Say what stands in for the lost piece", "#piece"),
    "length-wrong": ("Say which length is in which hole", "#fitted-lengths"),
    "undecided": ("Decide: keep or replace", "#destiny"),
    "no-successor": ("Name the new one", "#new-name"),
    "fate-unsaid": ("Say what becomes of the old one", "#fate"),
}
"""Why a line is open though no act is left -> what closes it, and where on the card that is asked."""


def _closing(entry: Entry) -> tuple[str, str] | None:
    if entry.rungs_ahead:
        return None
    return next((_CLOSED_BY[each.code] for each in entry.reasons if each.code in _CLOSED_BY), None)


def acts_offered(entry: Entry, first: Mapping[str, Any], *, is_last: bool) -> dict[str, Any]:
    """Return which act stands at a card's foot: to mark it off, its own, or its own out of turn, small.

    Args:
        entry: The thing or the step.
        first: What `offered` returned of it.
        is_last: Whether no act of its own is left.
    """
    apart, comes_first = bool(first["apart"]), bool(first["first"])
    marks_off = apart and not entry.begun
    is_small = not is_last and (apart or comes_first) and (entry.begun or entry.item.kind is Kind.STEP)
    words = "Put it back already" if apart else "Do it out of turn"
    return {
        "marks_off": marks_off,
        "is_own": not (is_last or apart or comes_first),
        "out_of_turn": words if is_small else "",
    }


def heading_of(build: Snapshot, entry: Entry, *, apart: bool) -> dict[str, str]:
    """Return the job that a card belongs to as it is called now, what it asks for, and where its list is."""
    step, page = build.step.get(entry.item.step), "takeoff.show" if apart else "putback.index"
    is_step = entry.item.kind is Kind.STEP
    way = Way.OFF if apart else Way.BACK
    return {
        "heading": step_name(step, way) if step else KIND_WORDS[entry.item.kind],
        "how": step_instruction(step, Way.BACK) if step and is_step else "",
        "list_href": url_for(page, nr=build.nr),
    }


def _lead(other: Entry) -> str:
    return "First: decide " if other.item.kind is Kind.FINDING else "First: "


def _why(build: Snapshot, entry: Entry, other: Entry) -> str:
    """Return why another thing comes first; a decision is its own reason."""
    if other.item.kind is Kind.FINDING:
        return ""
    return why_first_text(why_before(build, entry.item.id, other.item.id))


def _shown_blockers(
    build: Snapshot, entry: Entry, *, apart: bool, large: Entry | None
) -> tuple[Blocker, ...]:
    """Return what must come first besides the large act; coming apart, only what waits for a decision."""
    found = [e for e in build.blocked_by(entry.item.id) if e.item.kind is Kind.FINDING or not apart]
    others = [e for e in found[:SHOWN_BLOCKERS] if e != large]
    return tuple(Blocker(e, _lead(e), _why(build, entry, e)) for e in others)


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
