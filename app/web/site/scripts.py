"""Scripts under the names that earlier releases gave them: a page left open on a phone loads some late."""

from flask import Blueprint, abort, redirect, url_for
from werkzeug.wrappers import Response

from app.web.site.context import public

bp = Blueprint("scripts", __name__)

EARLIER_NAMES = {
    "facts": "intake/facts",
    "findings": "takeoff/findings",
    "follow": "site/follow",
    "live": "site/live",
    "marks": "cards/marks",
    "origin": "site/origin",
    "outbox": "intake/outbox",
    "pattern": "cards/pattern",
    "takeoff": "takeoff/takeoff",
    "waiting": "intake/outbox_page",
}
"""A name of the last two releases, and where that script is now."""


@bp.get("/static/js/<name>.js")
@public
def earlier(name: str) -> Response:
    """Lead a page of an earlier release to the script as it is now."""
    if name not in EARLIER_NAMES:
        abort(404)
    return redirect(url_for("static", filename=f"js/{EARLIER_NAMES[name]}.js"))
