"""The zones of a build: one more of the owner's own."""

from flask import Blueprint, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue

from app.store.plan import builds
from app.web.site.context import now_text, owner_only, snapshot, unit_of_work, writer

bp = Blueprint("zones", __name__)


@bp.post("/b/<int:nr>/zones")
@owner_only
def add(nr: int) -> ResponseReturnValue:
    """Add a zone of the owner's own."""
    label = request.form.get("label", "").strip()[:60]
    level = "below" if request.form.get("level") == "below" else "above"
    if not label:
        flash("Give the zone a name.", "problem")
        return redirect(url_for("steps.index", nr=nr))
    with unit_of_work() as session:
        build = snapshot(session, nr)
        builds.add_zone(session, build.id, label, level, writer=writer(), now=now_text())
    flash(f"Zone «{label}» is there.", "done")
    return redirect(url_for("steps.index", nr=nr))
