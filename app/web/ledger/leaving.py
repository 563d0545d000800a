"""What does not go back: cores by date, what is for sale, patterns, scrap, what stays or is left out."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.kinds import Kind
from app.core.ledger.dispositions import disposition, tally
from app.core.ledger.ledger import has_begun
from app.core.money import Money, money_text
from app.core.procurement.outstanding import Outstanding, overdue_first, prices
from app.core.wording.destinies import DISPOSITION_TEXT
from app.web.site.context import reading, snapshot, today

bp = Blueprint("leaving", __name__)


@dataclass(frozen=True, slots=True)
class Leaving:
    """What leaves in one way.

    Args:
        title: The heading.
        category: Of what is outstanding about it; empty where nothing is to be arranged.
        missing: What is said where nothing was arranged yet.
        done: That it is over, as the button says it.
        arrange: What the link to the form says.
    """

    title: str
    category: str = ""
    missing: str = ""
    done: str = ""
    arrange: str = ""


GROUPS: Mapping[str, Leaving] = MappingProxyType(
    {
        "core_return": Leaving("Cores to return", "core", "no day yet", "Returned", "Day and deposit"),
        "sold": Leaving("For sale", "sale", "no price yet", "Sold", "Price"),
        "pattern": Leaving("Kept as patterns until it runs"),
        "scrapped": Leaving("To scrap, when it runs"),
        "stays_on_old": Leaving("Stays on the old engine"),
        "left_out": Leaving("Left out"),
    }
)
"""By disposition, in their order."""


@dataclass(frozen=True, slots=True)
class LeavingRow:
    """One thing that leaves.

    Args:
        entry: The thing.
        outstanding: What is arranged about it, if anything is.
        notes: Why it leaves, and its condition.
        arranged: Who has it or wants it, and for how much.
    """

    entry: Entry
    outstanding: Outstanding | None
    notes: str
    arranged: str


@bp.get("/b/<int:nr>/leaving")
def index(nr: int) -> ResponseReturnValue:
    """List what does not go back, with dates and prices, and what becomes of every part, summed."""
    with reading() as session:
        build = snapshot(session, nr)
    parts = [e.state for e in build.items if e.item.kind is Kind.PART]
    by_item = {w.item_id: w for w in build.outstanding if w.category in {"core", "sale"}}
    groups = [(how, _rows(build, key, by_item), _sums(how, by_item.values())) for key, how in GROUPS.items()]
    counts = tally(parts)
    return render_template(
        "ledger/leaving/index.html",
        groups=[group for group in groups if group[1]],
        counts=[(key, words, counts[key]) for key, words in DISPOSITION_TEXT.items()],
        parts=len(parts),
        today=today(),
    )


def _rows(build: Snapshot, key: str, by_item: Mapping[str, Outstanding]) -> list[LeavingRow]:
    """Return what has this disposition, the overdue first, what has no day last."""
    entries = [
        e
        for e in build.items
        if e.item.kind is not Kind.FINDING and has_begun(e.state) and disposition(e.state) == key
    ]
    in_turn = overdue_first(by_item.values(), today())
    order = {each.item_id: place for place, each in enumerate(in_turn)}
    entries.sort(key=lambda e: (order.get(e.item.id, len(order)), e.item.number))
    return [_row(entry, by_item.get(entry.item.id)) for entry in entries]


def _row(entry: Entry, arranged: Outstanding | None) -> LeavingRow:
    notes = (entry.state.destiny.reason, getattr(entry.item.detail, "condition", ""))
    terms = (arranged.at_whom, money_text(arranged.price) if arranged.price else "") if arranged else ()
    return LeavingRow(entry, arranged, " · ".join(filter(None, notes)), " · ".join(filter(None, terms)))


def _sums(how: Leaving, arranged: Iterable[Outstanding]) -> list[tuple[str, tuple[Money, ...]]]:
    """Return what is summed under a heading, each with its label."""
    known = [each for each in arranged if each.category == how.category]
    still, over = prices(w for w in known if w.is_open), prices(w for w in known if not w.is_open)
    if how.category == "core":
        return [("Deposits still out", still)]
    return [("Asked", still), ("Brought", over)] if how.category == "sale" else []
