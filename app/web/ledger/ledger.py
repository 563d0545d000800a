"""The ledger: the open lines by zone or by step, or all lines that ever opened."""

from flask import Blueprint, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.builds.groups import lines_by_step, lines_by_zone
from app.core.builds.openings import caps_of_no_opening
from app.core.ledger.leftovers import leftovers
from app.web.site.context import reading, snapshot

bp = Blueprint("ledger", __name__)


@bp.get("/b/<int:nr>/ledger")
def show(nr: int) -> ResponseReturnValue:
    """Show the open lines by zone or by step, or all lines that ever opened."""
    by = "step" if request.args.get("by") == "step" else "zone"
    zone, everything = request.args.get("zone", ""), "all" in request.args
    with reading() as session:
        build = snapshot(session, nr)
    lines = [e for e in build.entries.values() if e.is_open or (everything and e.state_key != "on")]
    here = [e for e in lines if not zone or e.item.zone == zone]
    return render_template(
        "ledger/show.html",
        by=by,
        zone=build.zone.get(zone),
        everything=everything,
        turned_href=_turned_href(nr, by, zone, everything=everything),
        unstated=caps_of_no_opening(build, here),
        left=leftovers(build.items) if not zone else None,
        groups=(lines_by_step if by == "step" else lines_by_zone)(build, here),
    )


def _turned_href(nr: int, by: str, zone: str, *, everything: bool) -> str:
    """Return where the same list is with the closed lines, or without them."""
    return url_for("ledger.show", nr=nr, by=by, zone=zone or None, all=None if everything else 1)
