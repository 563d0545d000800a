"""Where phones send what they kept: one entry a request, each answered once and for all."""

import json

from flask import Blueprint, jsonify, render_template, request
from flask.typing import ResponseReturnValue

from app.core.intake.facts import no_number
from app.core.problem import Problem
from app.store.intake.entries import IntakeAnswer, refuse
from app.store.intake.take_in import take_in as store_take_in
from app.vision.tagged_photo import read_photo
from app.web.site.context import app_state, checks_role_itself, now_text, visitor

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
    return _say(refuse(entry) if isinstance(entry, Problem) else take_in(entry, _photo_bytes()))


def take_in(entry: dict[str, object], photo: bytes | None) -> IntakeAnswer:
    """Take in what the visitor sends; pages without script come here too."""
    return store_take_in(app_state().folder, entry, photo, visitor(), read_photo=read_photo, now=now_text())


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
