"""What can I do now: by people here, how the vehicle stands, and the minutes there are."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.groups import NO_STEP, begins_step
from app.core.builds.readiness import can_do_now, demands
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import Fastener
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.order.acts import OUT
from app.core.order.ready import Demand, Held, Here
from app.core.wording.heights import HEIGHT_TEXT
from app.core.wording.order import held_text
from app.store.journal import newest
from app.web.cards.act_forms import act_form
from app.web.cards.face_view import drawing_of
from app.web.cards.torque_view import TorqueView, view
from app.web.site.context import reading, snapshot, today, visitor
from app.web.site.form import read_number
from app.web.site.pages import asked_page

bp = Blueprint("now", __name__)
ROWS = 15
PEOPLE = (("1", "alone"), ("2", "two"), ("3", "three"))
MINUTES = (("15", "15 min"), ("40", "40 min"), ("120", "2 hours"), ("", "no end"))


@dataclass(frozen=True, slots=True)
class NowRow:
    """A ready line.

    Args:
        entry: The line.
        said: What is next, where it belongs, where it lies, about how long it takes, how many it takes.
        photo: The id of its photo; empty where it has none.
        drawing: What is drawn in its place.
        torque: As shown, see `view`; `None` where it has none.
        cautions: Keys of what to read before.
        heading: Its step, where it is the first of it.
    """

    entry: Entry
    said: str
    photo: str
    drawing: str
    torque: TorqueView | None
    cautions: tuple[str, ...] = ()
    heading: str = ""


@dataclass(frozen=True, slots=True)
class HereChoices:
    """Who is here, for how long, and how the vehicle stands, as a form asks it.

    Args:
        asked: What is chosen.
        height: How the vehicle stands: as chosen, else as it stood at what was marked last; empty for any.
        stands: The latter in words; empty where nothing says it.
        text: What is chosen, in one line.
    """

    asked: Mapping[str, str]
    height: str
    stands: str
    text: str
    people: tuple[tuple[str, str], ...] = PEOPLE
    minutes: tuple[tuple[str, str], ...] = MINUTES
    heights: tuple[tuple[str, str], ...] = tuple(HEIGHT_TEXT.items())


def here_choices(session: Session, build: Snapshot) -> HereChoices:
    """Return what the address asks, with what can be asked."""
    asked, stood = _asked(), _as_it_is(session, build)
    height = asked["height"] or stood
    minutes = dict(MINUTES)[asked["minutes"]] if asked["minutes"] else ""
    text = ", ".join(filter(None, (dict(PEOPLE)[asked["people"]], minutes)))
    said = f"{text} · {HEIGHT_TEXT.get(height, 'as it stands')}"
    return HereChoices(asked, height, HEIGHT_TEXT.get(stood, ""), said)


@bp.get("/b/<int:nr>/now")
def show(nr: int) -> ResponseReturnValue:
    """Show what is ready, three things for a helper, and what is not with the reason."""
    with reading() as session:
        build = snapshot(session, nr)
        choices = here_choices(session, build)
    if build.cycle:
        return render_template("putback/cycle.html", members=build.cycle)
    asked = choices.asked
    here = Here(int(asked["people"]), choices.height, read_number(asked["minutes"]))
    found, ask = can_do_now(build, here), demands(build)
    ready, held = asked_page("from", len(found.ready), ROWS), asked_page("held", len(found.held), ROWS)
    return render_template(
        "putback/now/show.html",
        here=choices,
        rows=_rows(build, found.ready[ready.rows], ask),
        ready=ready,
        good=[_row(build, i, ask, minding=True) for i in found.good],
        greets=visitor().role == "helper" and not ready.start,
        held=held,
        held_rows=[_held(build, each) for each in found.held[held.rows]],
    )


def _asked() -> dict[str, str]:
    """Return the filter that the address holds; what is not on offer counts as not said."""
    offered = {
        "people": set(dict(PEOPLE)),
        "height": set(HEIGHT_TEXT),
        "minutes": {value for value, _ in MINUTES},
    }
    said = {key: request.args.get(key, "") for key in offered}
    return {"people": "1", "height": "", "minutes": ""} | {
        key: value for key, value in said.items() if value in offered[key]
    }


def _as_it_is(session: Session, build: Snapshot) -> str:
    """Return how the vehicle stood at what was marked last; empty where that says nothing."""
    for line in newest(session, build.id, limit=1, verbs=("add", "mark")):
        entry = build.entries.get(line.subject.partition(":")[2])
        step = build.step.get(entry.item.step) if entry else None
        return step.height if step and step.height != "bench" else ""
    return ""


def _rows(build: Snapshot, ids: Sequence[str], ask: Mapping[str, Demand]) -> list[NowRow]:
    begins = begins_step(build, [build.entries[i] for i in ids])
    return [
        replace(row, heading=_step_name(build, row.entry)) if first else row
        for row, first in zip((_row(build, i, ask) for i in ids), begins, strict=True)
    ]


def _step_name(build: Snapshot, entry: Entry) -> str:
    step = build.step.get(build.step_back(entry.item))
    return step_name(step, Way.BACK) if step else NO_STEP


def _row(build: Snapshot, item_id: str, ask: Mapping[str, Demand], *, minding: bool = False) -> NowRow:
    """Return a ready line; with what to read before it, for somebody who knows nothing of the job."""
    entry, demand = build.entries[item_id], ask.get(item_id, Demand())
    zone, step = build.zone.get(entry.item.zone), build.step.get(entry.item.step)
    upcoming = build.graph.nodes[build.order_progress.next_node[item_id]]
    act = "take it out again" if upcoming.what == OUT else act_form(entry, build)["words"]
    said = (
        f"next: {act}" if act else "",
        zone.label if zone else "",
        " › ".join(build.place_path(entry.state.place.value)),
        f"about {demand.minutes} min" if demand.minutes else "",
        f"{demand.people} people" if demand.people > 1 else "",
    )
    group = entry.item.detail
    return NowRow(
        entry,
        " · ".join(filter(None, said)),
        next(iter(build.photos.get(entry.subject, ())), ""),
        drawing_of(entry.item),
        view(group) if isinstance(group, Fastener) and group.torque else None,
        step.cautions if step and minding else (),
    )


def _held(build: Snapshot, held: Held) -> tuple[Entry, str]:
    entry, other = build.entries[held.item], build.entries.get(held.other)
    return entry, held_text(entry.item, held, other.item if other else None, today())
