"""What nobody has decided: a list of its own, never hidden in another."""

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.kinds import Kind
from app.core.ledger.dispositions import disposition
from app.core.ledger.ledger import has_begun
from app.web.ledger.engines import ANSWERS, unanswered
from app.web.site.context import reading, snapshot

bp = Blueprint("undecided", __name__)


@bp.get("/b/<int:nr>/undecided")
def index(nr: int) -> ResponseReturnValue:
    """List what waits for a decision, each with the form that gives one."""
    with reading() as session:
        build = snapshot(session, nr)
    return render_template(
        "ledger/undecided/index.html",
        undecided=_having(build, "undecided"),
        fateless=_having(build, "fate_unsaid"),
        findings=build.undecided,
        old_engine=len(unanswered(build)),
        answers=ANSWERS,
    )


def _having(build: Snapshot, key: str) -> list[Entry]:
    things = (e for e in build.items if e.item.kind is not Kind.FINDING and has_begun(e.state))
    return [e for e in things if disposition(e.state) == key]
