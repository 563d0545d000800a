"""Putting back: the thing to do now, and the reverse order page by page; an act is done on an open card."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.builds.groups import NO_STEP, begins_step
from app.core.builds.next_act import before_of, direction_of, is_under_way_back
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import Fastener, Item
from app.core.items.journal import History
from app.core.items.kinds import Kind
from app.core.items.roles import Way
from app.core.items.step_names import step_instruction, step_name
from app.core.phases.milestones import APART, TOGETHER
from app.core.phases.units import VEHICLE
from app.core.wording.heights import HEIGHT_TEXT
from app.core.wording.items import rung_text
from app.core.wording.order import MILESTONE_TEXTS
from app.web.cards.face_view import drawing_of
from app.web.cards.install_exceptions import deviations, remark_text
from app.web.cards.torque_view import TorqueView, view
from app.web.gates.gates import ahead, shut_before
from app.web.gates.returning import first_to_see
from app.web.putback.now import here_choices
from app.web.site.context import reading, snapshot
from app.web.site.pages import asked_page

bp = Blueprint("putback", __name__)
ROWS = 10
FIRST_SHOWN = 4
NEAREST = 2
"""How many places a row names from a bag outward: the bag, and the crate that it lies in."""


@dataclass(frozen=True, slots=True)
class StepHeading:
    """What stands above the first row of a step: its name on the way back, how far it is, how it is done."""

    text: str
    facts: str = ""
    instruction: str = ""


@dataclass(frozen=True, slots=True)
class PutBackRow:
    """One line that goes back.

    Args:
        entry: The line.
        heading: What stands above it, where it is the first of its step.
        where: Its number, and the place where it lies.
        place: The place alone, from a bag outward.
        zone: Where in the bay it belongs.
        photo: The id of its photo; empty where it has none.
        drawing: What is drawn in its place.
        torque: Its torque as shown, see `view`; `None` where it has none.
        remark: What it waits for, and what doing it now would skip.
        is_held: Whether it cannot be done now.
    """

    entry: Entry
    heading: StepHeading | None
    where: str
    place: str
    zone: str
    photo: str
    drawing: str
    torque: TorqueView | None
    remark: str
    is_held: bool


@dataclass(frozen=True, slots=True)
class Following:
    """The large act: where it leads, what it says, and the row that it is about, if it is about one.

    A row has its step's heading where no other row of that step follows it.
    """

    href: str
    text: str
    small: str
    row: PutBackRow | None = None


@bp.get("/b/<int:nr>/put-back")
def index(nr: int) -> ResponseReturnValue:
    """Show what is next, then what goes back, in order: the open lines, what is closed only on demand."""
    everything = "all" in request.args
    first_page = request.args.get("from", 0, type=int) <= 0
    with reading() as session:
        build = snapshot(session, nr)
        if build.cycle:
            return render_template("putback/cycle.html", members=build.cycle)
        gate = ahead(session, build)
        first = first_to_see(session, build) if first_page else ()
        lines = [build.entries[i] for i in build.order if everything or build.entries[i].is_open]
        following = _following(build, lines) if first_page and not everything else None
        if following and following.row:
            lines = [entry for entry in lines if entry is not following.row.entry]
        page = asked_page("from", len(lines), ROWS)
        shown = lines[page.rows]
        guarded = shut_before(session, build, [entry.item.id for entry in shown])
        here = here_choices(session, build)
        rows = _rows(build, shown)
        if following and following.row:
            following = _with_step(build, following, shown[:1])
    return render_template(
        "putback/index.html",
        following=following,
        rows=rows,
        page=page,
        everything=everything,
        here=here,
        skipped=build.skipped,
        unconfirmed=len(build.unconfirmed) if first_page else 0,
        deviations=deviations(build) if first_page else [],
        undecided=build.undecided if first_page else (),
        ahead=gate,
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


def _following(build: Snapshot, lines: Sequence[Entry]) -> Following | None:
    """Return the first thing that can be done now; where all wait for an engine's act, that act."""
    found = next((entry for entry in lines if not _is_held(build, entry)), None)
    if found is None and lines and not is_under_way_back(build):
        return Following(url_for("takeoff.show", nr=build.nr), "Go on taking off", "It still comes apart")
    if found is not None:
        ahead_of_it = found.rungs_ahead
        act = f"next: {rung_text(found.item, ahead_of_it[0])}" if ahead_of_it else "look why it is open"
        name = str(found.item.number or "this job")
        row = _row(build, found, None)
        return Following(url_for("cards.show", item_id=found.item.id), f"Open {name}", act, row)
    before = before_of(build, lines[0].item.id) if lines else None
    if before is None or not before.milestone:
        return None
    text = f"First: {MILESTONE_TEXTS[before.milestone]}"
    return Following(url_for("phases.show", nr=build.nr), text, "Say so as soon as it is")


def _with_step(build: Snapshot, following: Following, after: Sequence[Entry]) -> Following:
    """Return the large act with its step's heading, unless the rows after it begin with that."""
    if following.row is None or following.row.entry.item.kind is Kind.STEP:
        return following
    step = build.step_back(following.row.entry.item)
    if any(build.step_back(entry.item) == step for entry in after):
        return following
    heading = _heading(build, step, _how_far(build, [step])[step])
    return replace(following, row=replace(following.row, heading=heading))


def _is_held(build: Snapshot, entry: Entry) -> bool:
    if direction_of(build, entry.item.id) == APART:
        return True
    waits = before_of(build, entry.item.id) is not None or bool(build.blocked_by(entry.item.id))
    return waits or entry.item.id in build.unavailable


def _rows(build: Snapshot, shown: list[Entry]) -> list[PutBackRow]:
    begins = begins_step(build, shown)
    steps = {build.step_back(entry.item) for entry, first in zip(shown, begins, strict=True) if first}
    far = _how_far(build, steps)
    return [
        _row(build, entry, _heading(build, step, far.get(step, "")) if first else None)
        for entry, first in zip(shown, begins, strict=True)
        for step in (build.step_back(entry.item),)
    ]


def _how_far(build: Snapshot, steps: Iterable[str]) -> dict[str, str]:
    """Return for each of some steps how many of its things are back."""
    wanted = frozenset(steps)
    known = ((build.step_back(e.item), e.is_open) for e in build.items if e.goes_back)
    counted = Counter(each for each in known if each[0] in wanted)
    return {
        step: f"{counted[step, False]} of {counted[step, False] + counted[step, True]} back"
        for step in wanted
    }


def _row(build: Snapshot, entry: Entry, heading: StepHeading | None) -> PutBackRow:
    item, remark = entry.item, remark_text(build, entry.item.id)
    zone = build.zone.get(item.zone)
    place = " › ".join(build.place_path(entry.state.place.value)[:NEAREST])
    number = str(item.number) if item.number else ""
    photos = build.photos.get(entry.subject, ())
    return PutBackRow(
        entry,
        heading,
        " · ".join(filter(None, (number, place))),
        place,
        zone.label if zone else "",
        photos[0] if photos else "",
        drawing_of(item),
        _torque(item),
        remark,
        is_held=_is_held(build, entry),
    )


def _heading(build: Snapshot, step_id: str, how_far: str) -> StepHeading:
    step = build.step.get(step_id)
    if step is None:
        return StepHeading(NO_STEP, how_far)
    facts = [how_far, HEIGHT_TEXT.get(step.height, "")]
    if step.minutes:
        facts.append(f"about {step.minutes} min")
    said = " · ".join(filter(None, facts))
    return StepHeading(step_name(step, Way.BACK), said, step_instruction(step, Way.BACK))


def _torque(item: Item) -> TorqueView | None:
    return view(item.detail) if isinstance(item.detail, Fastener) and item.detail.torque else None
