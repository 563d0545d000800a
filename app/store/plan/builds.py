"""Builds and their zones, with the steps that a layout brings."""

import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.items.bodies.base import Body
from app.core.items.bodies.plan import AddBuild, EditBuild, StepBody, ZoneBody
from app.core.items.journal import Line
from app.core.phases.swap import Swap
from app.core.problem import STALE, Problem
from app.store.db.clock import new_id
from app.store.db.files import bundled
from app.store.db.models import Build, JournalRow, Step, StepEdgeRow, Zone
from app.store.journal import append

LAYOUTS = (
    *("longitudinal_v", "longitudinal_inline", "transverse", "flat_rear"),
    *("transverse_v", "flat_front"),
)
"""The layouts that there are; where the zones of a list fit two of them alike, the one named first has it."""

BUILD_FIELDS = ("nr", "title", "vehicle", "layout", "units", "dialect", "currency", "made_at", "rev", "swap")
ZONE_FIELDS = ("id", "position", "key", "level", "label")
STEP_FIELDS = (
    *("position", "name", "height", "people", "minutes", "direction", "cautions", "shares_zone", "role"),
    *("name_back", "instruction", "instruction_back", "for_helper", "rev"),
)
"""Columns of the plan's tables that the journal says, under the same names."""


@cache
def layout(key: str) -> dict[str, Any]:
    """Return a layout's zones, steps and drawing as the program brings them.

    Raises:
        ValueError: There is no such layout.
    """
    if key not in LAYOUTS:
        raise ValueError(f"no layout {key!r}")
    text = (bundled("seed_data") / "layouts" / f"{key}.json").read_text(encoding="utf-8")
    return json.loads(text)  # type: ignore[no-any-return] # an object, by the data's own test


@dataclass(frozen=True, slots=True)
class Writer:
    """Who writes a line from a page: the person and the device."""

    person: str
    device: str

    def line(self, subject: str, verb: str, body: Mapping[str, Any], line_id: str = "") -> Line:
        """Return a fresh line about something of the plan."""
        return Line(line_id or new_id(), subject, verb, body, frozenset(), self.person, self.device)

    def say(self, subject: str, body: Body, after: Iterable[str] = ()) -> Line:
        """Return a fresh line that says what a record holds, in sight of these lines."""
        return Line(new_id(), subject, body.VERB, body.stored(), frozenset(after), self.person, self.device)


def new_build(
    session: Session,
    *,
    title: str,
    vehicle: str,
    layout_key: str,
    units: str,
    dialect: str,
    writer: Writer,
    now: str,
    starter_steps: bool = True,
    without: Collection[str] = (),
    swap: Swap | None = None,
) -> Build:
    """Make a build with the zones of its layout, and with its starter steps unless others are coming.

    Args:
        session: Of a unit of work.
        title: What it is called.
        vehicle: What vehicle it is.
        layout_key: How the engine sits, one of `LAYOUTS`.
        units: In which unit torques are shown.
        dialect: `us` or `uk`.
        writer: Who makes it.
        now: The server's time.
        starter_steps: Whether the layout's steps are put in.
        without: Keys of those that are left out.
        swap: How the engine leaves and comes back; `None` where nobody has said it yet.
    """
    build = Build(
        id=new_id(),
        nr=(session.scalar(select(func.max(Build.nr))) or 0) + 1,
        title=title,
        vehicle=vehicle,
        layout=layout_key,
        units=units,
        dialect=dialect,
        made_at=now,
        rev=1,
        currency="EUR",
        swap=swap.stored() if swap else {},
    )
    session.add(build)
    session.flush()
    plan = layout(layout_key)
    zones = [
        Zone(
            id=new_id(),
            build_id=build.id,
            position=i,
            key=zone["key"],
            level=zone["level"],
            label=zone["label"][dialect],
        )
        for i, zone in enumerate(plan["zones"])
    ]
    session.add_all(zones)
    steps, edges = _add_starter_steps(session, build.id, plan, without) if starter_steps else ([], [])
    session.flush()
    said = AddBuild(
        **{key: getattr(build, key) for key in BUILD_FIELDS},
        zones=tuple(zone_body(zone) for zone in zones),
        steps=tuple(StepBody(id=step.id, **step_values(step)) for step in steps),
        step_edges=tuple((edge.before_step, edge.after_step, edge.reason) for edge in edges),
    )
    append(session, writer.say(f"build:{build.id}", said), build_id=build.id, now=now)
    return build


def zone_body(zone: Zone) -> ZoneBody:
    """Return a zone as a line of its build says it."""
    return ZoneBody(**{key: getattr(zone, key) for key in ZONE_FIELDS})


def step_values(step: Step) -> dict[str, Any]:
    """Return the fields of a step as its lines say them."""
    return {key: getattr(step, key) for key in STEP_FIELDS} | {"cautions": tuple(step.cautions)}


def _add_starter_steps(
    session: Session, build_id: str, plan: dict[str, Any], without: Collection[str]
) -> tuple[list[Step], list[StepEdgeRow]]:
    """Write a layout's steps, and which of them waits for which on the way back."""
    steps = {
        step["key"]: _starter_step(build_id, i, step)
        for i, step in enumerate(plan["steps"])
        if step["key"] not in without
    }
    session.add_all(steps.values())
    session.flush()
    edges = [
        StepEdgeRow(
            before_step=steps[edge["before"]].id,
            after_step=steps[edge["after"]].id,
            build_id=build_id,
            reason=edge["reason"],
        )
        for edge in plan["step_edges"]
        if edge["before"] in steps and edge["after"] in steps
    ]
    session.add_all(edges)
    return list(steps.values()), edges


def _starter_step(build_id: str, position: int, step: dict[str, Any]) -> Step:
    return Step(
        id=new_id(),
        build_id=build_id,
        position=position,
        name=step["name"],
        height=step["height"],
        people=step["people"],
        minutes=step["minutes"],
        direction=step["direction"],
        cautions=list(step["cautions"]),
        **starter_words(step),
        shares_zone=False,
        rev=1,
    )


def starter_words(step: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a layout says of a starter step that no list says."""
    return {key: step[key] for key in ("role", "name_back", "instruction", "instruction_back", "for_helper")}


def edit_build(
    session: Session, build_id: str, values: dict[str, Any], *, rev: int, writer: Writer, now: str
) -> Problem | None:
    """Write a build's title, vehicle, units or dialect."""
    build = session.get_one(Build, build_id)
    if build.rev != rev:
        return STALE
    for key, value in values.items():
        setattr(build, key, value)
    build.rev += 1
    said = EditBuild(**values, rev=build.rev)
    append(session, writer.say(f"build:{build_id}", said), build_id=build_id, now=now)
    return None


def set_swap(
    session: Session, build_id: str, swap: Swap, *, rev: int, writer: Writer, now: str
) -> Problem | None:
    """Write how the engine of a build leaves and comes back, and which units there are."""
    return edit_build(session, build_id, {"swap": swap.stored()}, rev=rev, writer=writer, now=now)


def add_zone(session: Session, build_id: str, label: str, level: str, *, writer: Writer, now: str) -> Zone:
    """Add a zone of the owner's own; it has no shape on the drawing and stands beside it."""
    position = (session.scalar(select(func.max(Zone.position)).where(Zone.build_id == build_id)) or 0) + 1
    zone = Zone(id=new_id(), build_id=build_id, position=position, key="", level=level, label=label)
    session.add(zone)
    session.flush()
    said = EditBuild(zones=(zone_body(zone),))
    append(session, writer.say(f"build:{build_id}", said), build_id=build_id, now=now)
    return zone


def build_of_deleted_step(session: Session, step_id: str) -> Build | None:
    """Return the build from which a step was deleted; `None` where it is there, or never was."""
    if session.get(Step, step_id):
        return None
    lines = select(JournalRow.build_id).where(JournalRow.subject == f"step:{step_id}").limit(1)
    return session.get(Build, session.scalar(lines) or "")
