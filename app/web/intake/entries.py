"""Where phones send what they kept: one entry a request, each answered once and for all."""

import json

from flask import Blueprint, jsonify, render_template, request
from flask.typing import ResponseReturnValue

from app.core.intake.facts import no_number
from app.core.problem import Problem
from app.core.tags import read_typed
from app.store.intake import intake
from app.store.intake.entries import IntakeAnswer, Sent, StoredPicture, refuse
from app.store.intake.photos import keep_picture
from app.vision.photo import open_photo
from app.vision.reading import read_tags
from app.vision.shrinking import shrink
from app.web.site.context import app_state, checks_role_itself, now_text, reading, unit_of_work, visitor

bp = Blueprint("entries", __name__)


@bp.get("/outbox")
def outbox() -> ResponseReturnValue:
    """Show the page that lists what the phone itself still keeps."""
    return render_template("intake/outbox.html")


@bp.post("/lines")
@checks_role_itself
def receive() -> ResponseReturnValue:
    """Take one entry in."""
    entry = _entry()
    if isinstance(entry, Problem):
        return _say(refuse(entry))
    if entry.get("folder") != app_state().folder.id:
        other = Problem(
            "folder", "This entry belongs to another build's folder; it stays on the phone.", "folder"
        )
        return _say(refuse(other, 409))
    if not visitor().may_write and not visitor().shut:
        return _say(refuse(Problem("role", "This phone was let in to look, not to mark."), 403))
    return _say(take_in(entry, _photo_bytes()))


def take_in(entry: dict[str, object], photo: bytes | None) -> IntakeAnswer:
    """Read the photo, keep it, and write the entry; pages without script come here too."""
    if photo is not None:
        with reading() as session:
            before = intake.receipt_by_id(session, str(entry.get("id", "")))
        if before:
            return before
    code = str(entry.get("code") or "")
    if code:
        read = read_typed(code)
        if isinstance(read, Problem):
            return refuse(read)
        entry = entry | {"code": read}
    picture: StoredPicture | None = None
    codes: tuple[str, ...] = ()
    if photo is not None:
        seen = read_photo(photo)
        if isinstance(seen, Problem):
            return refuse(seen)
        picture, codes = seen
    with unit_of_work() as session:
        return intake.receive(session, Sent(entry, picture, codes), visitor(), now=now_text())


def read_photo(photo: bytes) -> tuple[StoredPicture, tuple[str, ...]] | Problem:
    """Return the picture as kept and the codes in it, or why it is not one."""
    opened = open_photo(photo)
    if isinstance(opened, Problem):
        return opened
    tags = read_tags(opened)
    small = shrink(opened)
    if isinstance(tags, Problem):
        return tags
    if isinstance(small, Problem):
        return small
    sha = keep_picture(app_state().folder.photos, small.jpeg)
    codes = tuple(dict.fromkeys(tag.code for tag in tags.tags))
    return StoredPicture(sha, small.width, small.height), codes


def _entry() -> dict[str, object] | Problem:
    unreadable = Problem(
        "form", "The entry cannot be read. Reload the page; what it keeps is not lost.", "entry"
    )
    try:
        entry = json.loads(request.form.get("entry", ""), parse_constant=no_number)
        json.dumps(entry, ensure_ascii=False).encode()  # half a sign of two could not be stored
    except (ValueError, RecursionError):
        return unreadable
    return entry if isinstance(entry, dict) else unreadable


def _photo_bytes() -> bytes | None:
    file = request.files.get("photo")
    return file.read() if file and file.filename else None


def _say(answer: IntakeAnswer) -> ResponseReturnValue:
    return jsonify(answer.body), answer.status
