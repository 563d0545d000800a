"""Builds, their zones and steps: the plan, edited on a page that knows what it was reading."""

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.items.bodies.base import Body
from app.core.items.bodies.plan import AddBuild, AddStep, EditBuild, EditStep, StepBody, ZoneBody
from app.core.items.journal import Line
from app.core.order.acts import StepEdge
from app.core.problem import Problem
from app.store.db.clock import new_id
from app.store.db.files import bundled
from app.store.db.models import Build, ItemRow, ItemStateRow, Step, StepEdgeRow, Zone
from app.store.journal import append
from app.store.plan.install_exceptions import check_step_order, drop_named, write_step_order

LAYOUTS = ("longitudinal_v", "longitudinal_inline", "transverse", "flat_rear")

BUILD_FIELDS = ("nr", "title", "vehicle", "layout", "units", "dialect", "currency", "made_at", "rev")
ZONE_FIELDS = ("id", "position", "key", "level", "label")
STEP_FIELDS = (
    *("position", "name", "height", "people", "minutes", "direction", "cautions", "shares_zone", "rev"),
)
"""Columns of the plan's tables that the journal says, under the same names."""

STALE = Problem(
    "stale", "Somebody else changed this meanwhile. What they wrote is shown; yours is kept below."
)


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
        shares_zone=False,
        rev=1,
    )


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


def add_step(session: Session, build_id: str, values: dict[str, Any], *, writer: Writer, now: str) -> Step:
    """Put a new step at the end of the plan."""
    last = session.scalar(select(func.max(Step.position)).where(Step.build_id == build_id))
    step = Step(id=new_id(), build_id=build_id, position=-1 if last is None else last, cautions=[], **values)
    step.position += 1
    session.add(step)
    session.flush()
    said = AddStep(**step_values(step))
    append(session, writer.say(f"step:{step.id}", said), build_id=build_id, now=now)
    return step


def edit_step(
    session: Session,
    step_id: str,
    values: dict[str, Any],
    *,
    rev: int,
    writer: Writer,
    now: str,
    waits: Sequence[StepEdge] | None = None,
) -> Problem | None:
    """Write a step's words, and with `waits` which steps come before it on the way back."""
    step = session.get_one(Step, step_id)
    if step.rev != rev:
        return STALE
    problem = check_step_order(session, step, waits, direction=values.get("direction", step.direction))
    if problem:
        return problem
    for key, value in values.items():
        setattr(step, key, value)
    step.rev += 1
    before = None if waits is None else write_step_order(session, step, waits)
    said = EditStep(**values, predecessors=before, rev=step.rev)
    append(session, writer.say(f"step:{step_id}", said), build_id=step.build_id, now=now)
    return None


def move_step(session: Session, step_id: str, by: int, *, writer: Writer, now: str) -> None:
    """Exchange a step with its neighbour, earlier (-1) or later (+1) in taking off."""
    step = session.get_one(Step, step_id)
    steps = list(session.scalars(select(Step).where(Step.build_id == step.build_id).order_by(Step.position)))
    here = steps.index(step)
    there = here + by
    if 0 <= there < len(steps):
        steps[here], steps[there] = steps[there], steps[here]
        for position, each in enumerate(steps):
            each.position = position
        said = EditStep(position=there, order=tuple(each.id for each in steps))
        append(session, writer.say(f"step:{step_id}", said), build_id=step.build_id, now=now)


def delete_step(session: Session, step_id: str, *, writer: Writer, now: str) -> Problem | None:
    """Delete a step that no item belongs to; stated orders and exceptions that name it go with it."""
    step = session.get_one(Step, step_id)
    used = session.scalar(select(func.count()).select_from(ItemRow).where(ItemRow.step_id == step_id))
    if used:
        return Problem(
            "step-used", f"{used} items belong to «{step.name}». Give them another step first.", "step"
        )
    gone = drop_named(session, step_id)
    session.delete(step)
    kept = session.get(ItemStateRow, f"step:{step_id}")
    if kept:
        session.delete(kept)
    session.flush()
    said = EditStep(deleted=step.name, with_it=gone)
    append(session, writer.say(f"step:{step_id}", said), build_id=step.build_id, now=now)
    return None


def add_zone(session: Session, build_id: str, label: str, level: str, *, writer: Writer, now: str) -> Zone:
    """Add a zone of the owner's own; it has no shape on the drawing and stands beside it."""
    position = (session.scalar(select(func.max(Zone.position)).where(Zone.build_id == build_id)) or 0) + 1
    zone = Zone(id=new_id(), build_id=build_id, position=position, key="", level=level, label=label)
    session.add(zone)
    session.flush()
    said = EditBuild(zones=(zone_body(zone),))
    append(session, writer.say(f"build:{build_id}", said), build_id=build_id, now=now)
    return zone
