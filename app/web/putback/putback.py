"""Putting back: the reverse order, page by page, each row with its next act."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from app.core.builds.groups import NO_STEP, begins_step
from app.core.builds.next_act import is_under_way_back
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import Fastener, Item
from app.core.items.journal import History
from app.core.items.roles import Way
from app.core.items.step_names import step_instruction, step_name
from app.core.phases.milestones import TOGETHER
from app.core.phases.units import VEHICLE
from app.core.torque.wrenches import Wrench
from app.store import crew
from app.store.db.models import Person
from app.web.cards.act_forms import act_form
from app.web.cards.install_exceptions import deviations, remark_text
from app.web.cards.torque_view import TorqueView, view
from app.web.cards.wrench_view import owned_wrenches
from app.web.gates.gates import ahead, shut_before
from app.web.gates.returning import first_to_see
from app.web.site.context import reading, snapshot, visitor
from app.web.site.pages import asked_page
from app.web.site.who import person_choices

bp = Blueprint("putback", __name__)
ROWS = 15
FIRST_SHOWN = 4


@dataclass(frozen=True, slots=True)
class StepHeading:
    """What stands above the first row of a step: its name on the way back, and how it is done."""

    text: str
    instruction: str = ""


@dataclass(frozen=True, slots=True)
class PutBackRow:
    """One line that goes back.

    Args:
        entry: The line.
        form: Its next act, see `act_form`.
        heading: What stands above it, where it is the first of its step.
        where: Its zone, and the place where it lies.
        torque: Its torque as shown, see `view`; `None` where it has none.
        remark: What it waits for, and what doing it now would skip.
        is_held: Whether it cannot be done now.
    """

    entry: Entry
    form: dict[str, Any]
    heading: StepHeading | None
    where: str
    torque: TorqueView | None
    remark: str
    is_held: bool


@bp.get("/b/<int:nr>/put-back")
def index(nr: int) -> ResponseReturnValue:
    """List what goes back, in order: the open lines, what is closed only on demand."""
    everything = "all" in request.args
    first_page = request.args.get("from", 0, type=int) <= 0
    with reading() as session:
        build = snapshot(session, nr)
        people = crew.doers(session)
        owned = owned_wrenches(session)
        following = ahead(session, build)
        first = first_to_see(session, build) if first_page else ()
        if build.cycle:
            return render_template("putback/cycle.html", members=build.cycle)
        lines = [build.entries[i] for i in build.order if everything or build.entries[i].is_open]
        page = asked_page("from", len(lines), ROWS)
        shown = lines[page.rows]
        guarded = shut_before(session, build, [entry.item.id for entry in shown])
    return render_template(
        "putback/index.html",
        rows=_rows(build, shown, owned, people),
        page=page,
        everything=everything,
        skipped=build.skipped,
        unconfirmed=len(build.unconfirmed) if first_page else 0,
        deviations=deviations(build) if first_page else [],
        undecided=build.undecided if first_page else (),
        who=person_choices(people, visitor().person),
        ahead=following,
        turn=None if is_under_way_back(build) else _turn(build),
        guarded=guarded,
        first=first[:FIRST_SHOWN],
        first_count=len(first),
        more_first=len(first[FIRST_SHOWN:]),
    )


def _turn(build: Snapshot) -> dict[str, Any]:
    """Return the line that says that the vehicle goes together from here on."""
    said = {"units": [VEHICLE.id], "to": TOGETHER}
    return {"subject": f"build:{build.id}", "body": said, "after": History(build.milestones).tips()}


def _rows(
    build: Snapshot, shown: list[Entry], owned: Sequence[Wrench], people: Sequence[Person]
) -> list[PutBackRow]:
    return [
        _row(
            build,
            entry,
            act_form(entry, build, owned, people, me=visitor().person, compact=True),
            _heading(build, build.step_back(entry.item)) if begins else None,
        )
        for entry, begins in zip(shown, begins_step(build, shown), strict=True)
    ]


def _row(build: Snapshot, entry: Entry, form: dict[str, Any], heading: StepHeading | None) -> PutBackRow:
    item, remark = entry.item, remark_text(build, entry.item.id)
    return PutBackRow(
        entry,
        form,
        heading,
        _where(build, entry),
        _torque(item),
        remark,
        is_held=bool(remark) or item.id in build.unavailable,
    )


def _heading(build: Snapshot, step_id: str) -> StepHeading:
    step = build.step.get(step_id)
    if step is None:
        return StepHeading(NO_STEP)
    return StepHeading(step_name(step, Way.BACK), step_instruction(step, Way.BACK))


def _where(build: Snapshot, entry: Entry) -> str:
    zone = build.zone.get(entry.item.zone)
    place = " → ".join(build.place_path(entry.state.place.value))
    return " · ".join(filter(None, (zone.label if zone else "", place)))


def _torque(item: Item) -> TorqueView | None:
    return view(item.detail) if isinstance(item.detail, Fastener) and item.detail.torque else None
