"""The crew: who was let in, with which phone, and the code that lets another one in."""

import io

import qrcode
import qrcode.image.svg
from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from markupsafe import Markup
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.items.kinds import Act
from app.core.wording.items import act_text
from app.store import crew
from app.store.db.models import Device, ItemRow, Person
from app.store.intake.intake import entry_type
from app.store.intake.quarantine import Quarantined, decide, quarantined
from app.store.journal import as_item
from app.web.site.context import (
    app_state,
    now,
    now_text,
    owner_only,
    reading,
    snapshot,
    unit_of_work,
    visitor,
    way_back,
)

bp = Blueprint("crew", __name__)


@bp.get("/b/<int:nr>/crew")
def index(nr: int) -> ResponseReturnValue:
    """List people and devices."""
    with reading() as session:
        snapshot(session, nr)
        devices = session.execute(
            select(Device, Person.name).join(Person, Person.id == Device.person_id).order_by(Device.made_at)
        ).all()
        waiting = [(each, _entry_text(session, each)) for each in quarantined(session)]
        return render_template("builds/crew/index.html", devices=devices, aside=waiting)


def _entry_text(session: Session, entry: Quarantined) -> str:
    """Return what an entry that was put aside says, in a few words."""
    body = entry.body.get("body")
    subject_type, _, item_id = str(entry.body.get("subject", "")).partition(":")
    row = session.get(ItemRow, item_id) if subject_type == "item" else None
    about = f"#{row.number} {row.name}".strip() if row else str(entry.body.get("code", ""))
    what = body.get("act") if isinstance(body, dict) else ""
    what = what if isinstance(what, str) else ""
    if entry_type(entry.body) == "capture":
        return f"took something off: {about}" if about else "a photograph"
    return f"{about}: {act_text(as_item(row), what)}" if row and what in set(Act) else f"{about}: a line"


@bp.post("/quarantine/<entry_id>")
@owner_only
def decide_quarantined(entry_id: str) -> ResponseReturnValue:
    """Let in or leave out what a phone sent after it was shut out."""
    take_in = request.form.get("what") == "in"
    with unit_of_work() as session:
        answer = decide(session, entry_id, take_in=take_in, owner=visitor(), now=now_text())
    if answer is None:
        flash("That is decided already.", "problem")
    elif "problem" in answer.body:
        flash(f"It cannot be let in: {answer.body['problem']}", "problem")
    else:
        flash("Let in." if take_in else "Left out.", "done")
    return redirect(way_back("/"))


@bp.post("/b/<int:nr>/crew/pair")
@owner_only
def pair(nr: int) -> ResponseReturnValue:
    """Make a pairing code and show it, as a picture and as an address."""
    role = request.form.get("role", "helper")
    if role not in crew.ROLES:
        role = "helper"
    with unit_of_work() as session:
        snapshot(session, nr)
        token = crew.new_pairing(session, role, now())
    at = app_state()
    numbers = [f"http://{address}:{at.port}/pair/{token}" for address in at.addresses()]
    named = f"{at.origin}/pair/{token}"
    return render_template(
        "builds/crew/pair.html",
        role=role,
        named=named,
        named_code=_svg(named),
        numbers=[(address, _svg(address)) for address in numbers[:2]],
    )


def _svg(text: str) -> Markup:
    """Return a QR code as a drawing; the text is ours, its drawing holds nothing that was typed."""
    code = qrcode.QRCode(border=4, box_size=10, error_correction=qrcode.ERROR_CORRECT_M)
    code.add_data(text)
    out = io.BytesIO()
    code.make_image(image_factory=qrcode.image.svg.SvgPathImage).save(out)
    drawing = out.getvalue().decode().partition("<svg")[2]
    return Markup("<svg role='img' aria-label='Code to scan'" + drawing)  # noqa: S704 - made here from squares


@bp.post("/devices/<device_id>/shut")
@owner_only
def shut(device_id: str) -> ResponseReturnValue:
    """Shut a device out, at once."""
    with unit_of_work() as session:
        done = crew.shut_out(session, device_id, now())
    flash(
        "Shut out. What it still sends is put aside for you." if done else "There is no such phone.", "done"
    )
    return redirect(way_back("/"))


@bp.get("/crew")
def anywhere() -> ResponseReturnValue:
    """Go to the crew of the first build."""
    return redirect(url_for("crew.index", nr=1))
