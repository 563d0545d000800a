"""Putting back: the reverse order, page by page, each row with its next act."""

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from app.core.builds.snapshot import Snapshot
from app.core.items.items import Fastener
from app.store import crew
from app.web.cards.act_forms import act_form
from app.web.cards.install_exceptions import deviations, waits_text
from app.web.cards.torque_view import view
from app.web.cards.wrench_view import owned_wrenches
from app.web.gates.gates import ahead, is_first_start, shut_before
from app.web.gates.returning import first_to_see
from app.web.site.context import reading, snapshot

bp = Blueprint("putback", __name__)
ROWS = 15
FIRST_SHOWN = 4


@bp.get("/b/<int:nr>/put-back")
def index(nr: int) -> ResponseReturnValue:
    """List what goes back, in order: the open lines, what is closed only on demand."""
    everything = "all" in request.args
    start = max(0, request.args.get("from", 0, type=int))
    with reading() as session:
        build = snapshot(session, nr)
        people = crew.doers(session)
        owned = owned_wrenches(session)
        following = ahead(session, build, way_back=True)
        first = first_to_see(session, build) if not start else ()
        shut = shut_before(session, build)
    if build.cycle:
        return render_template("putback/cycle.html", members=build.cycle)
    lines = [build.entries[i] for i in build.order if everything or build.entries[i].is_open]
    shown = lines[start : start + ROWS]
    return render_template(
        "putback/index.html",
        rows=[(entry, act_form(entry, build, owned), waits_text(build, entry.item.id)) for entry in shown],
        torque_of={e.item.id: view(e.item.detail) for e in shown if isinstance(e.item.detail, Fastener)},
        place=_places(build, [entry.item.id for entry in shown]),
        start=start,
        earlier=max(0, start - ROWS) if start else None,
        further=start + ROWS if start + ROWS < len(lines) else None,
        left=len(lines) - start - len(shown),
        everything=everything,
        skipped=build.skipped,
        deviations=[] if start else deviations(build),
        undecided=build.undecided if not start else (),
        people=people,
        ahead=following,
        guarded={i: shut for i in build.step if is_first_start(build, i)} if shut else {},
        first=first[:FIRST_SHOWN],
        first_count=len(first),
        more_first=len(first[FIRST_SHOWN:]),
    )


def _places(build: Snapshot, ids: list[str]) -> dict[str, str]:
    return {i: " → ".join(build.place_path(build.entries[i].state.place.value)) for i in ids}
