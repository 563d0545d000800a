"""What does not go back: cores by date, what is for sale, patterns, scrap, what stays or is left out."""

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.kinds import Kind
from app.core.ledger.dispositions import disposition, tally
from app.core.ledger.ledger import has_begun
from app.core.procurement.outstanding import Outstanding, overdue_first, prices
from app.core.wording.destinies import DISPOSITION_TEXT
from app.web.site.context import reading, snapshot, today

bp = Blueprint("leaving", __name__)
GROUPS = ("core_return", "sold", "pattern", "scrapped", "stays_on_old", "left_out")


@bp.get("/b/<int:nr>/leaving")
def index(nr: int) -> ResponseReturnValue:
    """List what does not go back, with dates and prices, and what becomes of every part, summed."""
    with reading() as session:
        build = snapshot(session, nr)
    parts = [e.state for e in build.items if e.item.kind is Kind.PART]
    by_item = {w.item_id: w for w in build.outstanding if w.category in {"core", "sale"}}
    return render_template(
        "ledger/leaving/index.html",
        groups=[(key, _rows(build, key, by_item)) for key in GROUPS],
        words=DISPOSITION_TEXT,
        counts=tally(parts),
        parts=len(parts),
        sold=prices(w for w in by_item.values() if w.category == "sale" and not w.is_open),
        asked=prices(w for w in by_item.values() if w.category == "sale" and w.is_open),
        deposits=prices(w for w in by_item.values() if w.category == "core" and w.is_open),
        today=today(),
    )


def _rows(
    build: Snapshot, key: str, by_item: dict[str, Outstanding]
) -> list[tuple[Entry, Outstanding | None]]:
    """Return what has this disposition, the overdue first, what has no day last."""
    entries = [
        e
        for e in build.items
        if e.item.kind is not Kind.FINDING and has_begun(e.state) and disposition(e.state) == key
    ]
    in_turn = overdue_first(by_item.values(), today())
    order = {each.item_id: place for place, each in enumerate(in_turn)}
    entries.sort(key=lambda e: (order.get(e.item.id, len(order)), e.item.number))
    return [(entry, by_item.get(entry.item.id)) for entry in entries]
