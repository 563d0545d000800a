"""Pictures: shown to whoever was let in, given to items from the tray."""

from functools import lru_cache
from io import BytesIO
from pathlib import Path

from flask import Blueprint, abort, flash, redirect, render_template, request, send_file, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.intake.fields import fields_of
from app.core.items.numbers import items_of
from app.core.problem import Problem
from app.store.db.clock import new_id
from app.store.db.models import Build, PhotoRow
from app.store.intake.photos import picture_path
from app.store.intake.shown import give_photo
from app.vision.shrinking import rendition
from app.web.intake.form import take_form
from app.web.site.context import app_state, entry_of, now_text, reading, snapshot, unit_of_work, writer

bp = Blueprint("photos", __name__)


WIDTHS = {"row": 160, "card": 800}
"""What a picture is asked for -> its longer side, [pixels]; without it the whole one is sent."""

_KEPT_RENDITIONS = 400


@bp.get("/p/<photo_id>.jpg")
def show(photo_id: str) -> ResponseReturnValue:
    """Send a picture, whole or as small as it is shown; its bytes never change."""
    with reading() as session:
        photo = session.get(PhotoRow, photo_id) or abort(404)
        sha = photo.sha256
    path = picture_path(app_state().folder.photos, sha)
    if not path.exists():
        abort(404)
    asked = request.args.get("for", "")
    sent: Path | BytesIO = path
    if asked in WIDTHS:
        sent = BytesIO(_rendition(path, WIDTHS[asked]))
    answer = send_file(sent, mimetype="image/jpeg", max_age=31536000, etag=sha + asked)
    answer.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer


@lru_cache(maxsize=_KEPT_RENDITIONS)
def _rendition(path: Path, longest: int) -> bytes:
    return rendition(path.read_bytes(), longest)


@bp.post("/i/<item_id>/photos")
def add(item_id: str) -> ResponseReturnValue:
    """Keep one more photo of an item or a step, sent without script."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
    file = request.files.get("photo")
    answer = take_form(
        "capture",
        build.id,
        fields=fields_of(()),
        photo=file.read() if file and file.filename else None,
        entry_id=request.form.get("entry_id", ""),
        subject=entry.subject,
        item=new_id(),
    )
    problem = answer.body.get("problem")
    flash(str(problem or answer.body.get("quarantined", "Photo added.")), "problem" if problem else "done")
    return redirect(url_for("cards.show", item_id=item_id))


@bp.get("/b/<int:nr>/tray")
def tray(nr: int) -> ResponseReturnValue:
    """Show the photos in which no tag was read."""
    with reading() as session:
        build = snapshot(session, nr)
    return render_template("takeoff/photos/tray.html", photos=build.tray, entries=build.items)


@bp.post("/p/<photo_id>/give")
def give(photo_id: str) -> ResponseReturnValue:
    """Give a photo to one or several items."""
    with unit_of_work() as session:
        photo = session.get(PhotoRow, photo_id) or abort(404)
        nr = _nr(session, photo)
        build = snapshot(session, nr)
        items = items_of(request.form.get("numbers", ""), (entry.item for entry in build.items))
        zone = build.zone.get(request.form.get("zone", ""))
        if isinstance(items, Problem):
            flash(items.message, "problem")
        elif not (items or zone):
            flash("No number was typed. Type the items' running numbers, such as 12 14.", "problem")
        else:
            subjects = [f"item:{item.id}" for item in items] + ([f"zone:{zone.id}"] if zone else [])
            give_photo(session, photo, subjects, writer=writer(), now=now_text())
            given = [f"#{item.number}" for item in items] + ([zone.label] if zone else [])
            flash(f"Given to {', '.join(given)}.", "done")
    return redirect(url_for("photos.tray", nr=nr))


def _nr(session: Session, photo: PhotoRow) -> int:
    return session.get_one(Build, photo.build_id).nr
