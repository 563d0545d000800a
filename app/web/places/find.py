"""The page on which one finds: by code, by number, by words."""

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.find.finding import find
from app.store.tags import issued_codes
from app.web.site.context import reading, snapshot

bp = Blueprint("find", __name__)
MOST = 60


@bp.get("/b/<int:nr>/find")
def index(nr: int) -> ResponseReturnValue:
    """Answer what was typed: a code goes to its item, a number too, a word lists what has it."""
    asked = request.args.get("q", "").strip()
    with reading() as session:
        build = snapshot(session, nr)
        issued = issued_codes(session) if asked else frozenset()
    found = find(asked, build, issued)
    if found.code:
        return redirect(f"/T/{found.code}")
    if found.item:
        return redirect(url_for("cards.show", item_id=found.item))
    return render_template(
        "places/find/index.html",
        asked=asked,
        found=found.entries[:MOST],
        more=max(0, len(found.entries) - MOST),
        meant=found.meant,
        near=found.near,
        problem=found.problem,
        is_nothing=asked and not (found.entries or found.near or found.problem or found.meant),
    )
