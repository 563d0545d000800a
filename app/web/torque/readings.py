"""The readings that nobody has compared with the print yet: a list for the bench, confirmed by name."""

from dataclasses import dataclass

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot
from app.core.intake.fields import fields_of
from app.core.items.items import Fastener
from app.core.ledger.ledger import reading_in, was_tightened
from app.core.problem import Problem
from app.core.tightening.readings import readings_to_confirm
from app.core.torque.choices import choices_of
from app.core.torque.confirming import Reading, Standing
from app.store import crew
from app.web.cards.torque_view import TorqueView, view
from app.web.intake.form import take_form
from app.web.site.context import reading, snapshot

bp = Blueprint("readings", __name__)


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """A group whose reading nobody has confirmed.

    Args:
        entry: The group.
        reading: What its torque is read as, and why that is asked about.
        torque: The same as it is shown.
        photo: The id of its first photo; empty where it has none.
        tightened: Whether its bolts are tight already.
        choices: The values that its print gives for different cases.
    """

    entry: Entry
    reading: Reading
    torque: TorqueView
    photo: str
    tightened: bool
    choices: tuple[str, ...]


@bp.get("/b/<int:nr>/torques/readings")
def show(nr: int) -> ResponseReturnValue:
    """List the readings that are not confirmed, those that read differently now first."""
    with reading() as session:
        return _page(session, snapshot(session, nr))


def _page(session: Session, build: Snapshot, problem: Problem | None = None) -> str:
    rows = _rows(build)
    return render_template(
        "torque/readings/show.html",
        changed=[row for row in rows if row.reading.standing is Standing.CHANGED],
        unreadable=[row for row in rows if row.reading.standing is Standing.UNREADABLE],
        earlier=[row for row in rows if row.reading.standing is Standing.EARLIER],
        fresh=[row for row in rows if row.reading.standing is Standing.UNCONFIRMED],
        people=crew.doers(session),
        problem=problem,
    )


def _rows(build: Snapshot) -> list[ReadingRow]:
    return [
        ReadingRow(
            entry,
            reading_in(entry.item, entry.state),
            view(entry.item.detail),
            next(iter(build.photos.get(entry.subject, ())), ""),
            was_tightened(entry.item, entry.state),
            tuple(choice.text for choice in choices_of(entry.item.detail.torque)),
        )
        for entry in readings_to_confirm(build.items)
        if isinstance(entry.item.detail, Fastener)
    ]


@bp.post("/b/<int:nr>/torques/readings")
def submit(nr: int) -> ResponseReturnValue:
    """Write one line for each ticked reading, in the name of who compared it."""
    ticked = request.form.getlist("item")
    with reading() as session:
        build = snapshot(session, nr)
        asked = {row.entry.item.id: row for row in _rows(build)}
        problem = _refuse(asked, ticked)
        if problem:
            return _page(session, build, problem), 422
    answers = [_take(build, asked[item]) for item in ticked]
    written = sum("problem" not in answer for answer in answers)
    flash(f"{written} {'reading' if written == 1 else 'readings'} confirmed.", "done")
    return redirect(url_for("readings.show", nr=nr))


def _refuse(asked: dict[str, ReadingRow], ticked: list[str]) -> Problem | None:
    """Refuse what was not on the page as it is now: a text or its reading changed meanwhile."""
    if not ticked:
        return Problem("none-ticked", "Tick the readings that you compared with the print.", "")
    for item in ticked:
        row = asked.get(item)
        if row is None:
            return Problem("moved", "One of them was confirmed or changed meanwhile: look again.", "")
        seen = (request.form.get(f"torque-{item}"), request.form.get(f"reading-{item}"))
        if not row.reading.read_as or seen != (row.reading.print, row.reading.read_as):
            number = row.entry.item.number
            return Problem("moved", f"The torque of #{number} was changed meanwhile: look again.", "")
    return None


def _take(build: Snapshot, row: ReadingRow) -> dict[str, object]:
    """Take in the confirmation of one reading, as the form of its card would send it."""
    fields = fields_of(
        [
            ("verb", "confirm"),
            ("torque", row.reading.print),
            ("reading", row.reading.read_as),
            ("person", request.form.get("person", "")),
            *(("after", tip) for tip in row.entry.state.tips),
        ]
    )
    return dict(take_form("mark", build.id, subject=row.entry.subject, entry_id="", fields=fields).body)
