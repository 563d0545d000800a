"""A list put into a build: its steps, zones, places and items, all of them in one unit of work or none."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Snapshot
from app.core.items.bodies.acts import Dispose, Move
from app.core.items.bodies.plan import AddPlace, EditBuild, ZoneBody
from app.core.items.bodies.things import AddItem, EditItem
from app.core.items.items import Detail, Edge, Fastener, Item, critical_by_default
from app.core.items.journal import Line
from app.core.items.kinds import Kind, opening_act
from app.core.lists.columns import GOES_AFTER, REPLACES
from app.core.lists.forms import IN
from app.core.lists.listed import ListedItem, ListPlan
from app.core.lists.renewals import renewed
from app.core.tightening.readings import with_reading_kept
from app.store.db import models
from app.store.db.clock import new_id
from app.store.db.models import EdgeRow, GoesAfterRow, Place, SideExceptionRow, Zone
from app.store.lists.lines import Pen, insert_all
from app.store.lists.names import Places, Zones
from app.store.lists.steps import changes_of, steps_by_name, write_steps
from app.store.plan.builds import Writer


@dataclass(frozen=True, slots=True)
class Effect:
    """What a list does to a build.

    Args:
        items: How many items are made, without what is new in the place of something old.
        renewals: How many new things are made for what is replaced.
        steps: Names of the steps that are made.
        edited: Names of steps that are there and change.
        zones: Names of the zones that are made.
        places: Names of the places that are made, each with what it stands in.
        there: How many rows name something that the build has already, by kind, name and step.
    """

    items: int
    renewals: int
    steps: tuple[str, ...]
    edited: tuple[str, ...]
    zones: tuple[str, ...]
    places: tuple[str, ...]
    there: int


def effect_of(build: Snapshot, plan: ListPlan) -> Effect:
    """Return what a list would do to a build, without doing it."""
    zones, places = _zones(build, plan), Places(build)
    for item in plan.items:
        places.id_of(item.place)
    known = steps_by_name(build)
    there = {(e.item.kind, e.item.name.casefold(), _step_name(build, e.item.step)) for e in build.items}
    return Effect(
        items=len(plan.items),
        renewals=len(_renewals(plan)),
        steps=tuple(step.name for step in plan.steps if step.name.casefold() not in known),
        edited=tuple(
            step.name
            for step in plan.steps
            if step.name.casefold() in known and changes_of(build.step[known[step.name.casefold()]], step)
        ),
        zones=tuple(label for label, _ in zones.new.values()),
        places=tuple(f" {IN} ".join(path) for path, _ in places.new.values()),
        there=sum((i.kind, i.name.casefold(), i.step.casefold()) in there for i in plan.items if i.name),
    )


def write_list(
    session: Session, build: Snapshot, plan: ListPlan, line: Line, *, writer: Writer, now: str
) -> None:
    """Write all that a list says.

    Args:
        session: Of a unit of work.
        build: As it stands in this unit of work.
        plan: The list.
        line: The line about the build that says that a list came.
        writer: Who brings it.
        now: The server's time.
    """
    pen = Pen(session, build.id, writer, now, [line])
    steps = write_steps(pen, build, plan.steps)
    zones = _write_zones(pen, build, plan)
    places = Places(build)
    rows = list(_with_renewals(plan))
    last = (
        session.scalar(select(func.max(models.ItemRow.number)).where(models.ItemRow.build_id == build.id))
        or 0
    )
    items = {row.key: _item(row, last + n, steps, zones) for n, row in enumerate(rows, 1)}
    put = {row.key: places.id_of(row.place) for row in rows}
    _write_places(pen, places)
    _write_items(pen, items)
    leads = _leads(plan, items)
    for row in rows:
        _write_item_lines(pen, items[row.key], row, put[row.key], leads[row.key])
    pen.finish()
    insert_all(
        session,
        EdgeRow,
        (
            {"from_item": items[key].id, "rel": rel, "to_item": target}
            for key in items
            for rel, targets in leads[key].items()
            for target in targets
            if rel != GOES_AFTER
        ),
    )
    insert_all(
        session,
        GoesAfterRow,
        (
            {"item_id": items[row.key].id, "after_item": after, "reason": _because(row)}
            for row in rows
            for after in leads[row.key].get(GOES_AFTER, ())
        ),
    )
    insert_all(
        session,
        SideExceptionRow,
        (
            {"item_id": items[row.key].id, "what": what, "reason": reason}
            for row in rows
            for what, reason in (_side(row),)
            if what
        ),
    )


_AS_LISTED = "as the list says"


def _because(row: ListedItem) -> str:
    return row.because or _AS_LISTED


def _side(row: ListedItem) -> tuple[str, str]:
    """Return on which side of the lift a row goes back against the rule, and why; empty texts for none."""
    return (row.side, row.side_because or _AS_LISTED) if row.side else ("", "")


def _leads(plan: ListPlan, items: Mapping[str, Item]) -> dict[str, dict[str, tuple[str, ...]]]:
    """Return by each item's key what it leads to, by relation."""
    edges = [*plan.edges, *(Edge(renewed(old).key, REPLACES, old.key) for old in _renewals(plan))]
    found: dict[str, dict[str, tuple[str, ...]]] = defaultdict(dict)
    for edge in edges:
        known = found[edge.frm].get(edge.rel, ())
        found[edge.frm][edge.rel] = (*known, items[edge.to].id)
    return found


def _renewals(plan: ListPlan) -> list[ListedItem]:
    """Return what is replaced by something that the list does not name itself."""
    told = {edge.to for edge in plan.edges if edge.rel == REPLACES}
    return [item for item in plan.items if item.destiny == "replaced" and item.key not in told]


def _with_renewals(plan: ListPlan) -> Iterable[ListedItem]:
    olds = {item.key for item in _renewals(plan)}
    for item in plan.items:
        yield item
        if item.key in olds:
            yield renewed(item)


def _step_name(build: Snapshot, step_id: str) -> str:
    return build.step[step_id].name.casefold() if step_id in build.step else ""


def zone_labels(plan: ListPlan) -> list[str]:
    """Return every zone that a list names."""
    return [*plan.zones, *(item.zone for item in plan.items if item.zone)]


def _zones(build: Snapshot, plan: ListPlan) -> Zones:
    zones = Zones(build)
    for label in zone_labels(plan):
        zones.id_of(label)
    return zones


def _write_zones(pen: Pen, build: Snapshot, plan: ListPlan) -> Zones:
    zones = _zones(build, plan)
    first = 1 + (pen.session.scalar(select(func.max(Zone.position)).where(Zone.build_id == build.id)) or 0)
    rows = [
        {"id": i, "build_id": build.id, "position": first + n, "key": "", "level": level, "label": name}
        for n, (i, (name, level)) in enumerate(zones.new.items())
    ]
    insert_all(pen.session, Zone, rows)
    if rows:
        pen.write(f"build:{build.id}", EditBuild(zones=tuple(ZoneBody.read(row) for row in rows)))
    return zones


def _write_places(pen: Pen, places: Places) -> None:
    """Make the places; a place's parent is where its one line says that it stands."""
    rows = []
    for place_id, ((name, *_), parent) in places.new.items():
        rows.append(
            {"id": place_id, "build_id": pen.build, "name": name, "parent_id": parent or None, "rev": 1}
        )
        first = pen.write(f"place:{place_id}", AddPlace(name=name, rev=1))
        if parent:
            pen.write(f"place:{place_id}", Move(place=parent), [first])
    insert_all(pen.session, Place, rows)


def _with_reading(detail: Detail) -> Detail:
    """Return a detail with what its torque is read as; what a list says of that is kept to be compared."""
    said = isinstance(detail, Fastener) and detail.torque_read
    return detail if said else with_reading_kept(detail)


def _item(row: ListedItem, number: int, steps: Mapping[str, str], zones: Zones) -> Item:
    item = Item(
        id=new_id(),
        number=number,
        kind=row.kind,
        name=row.name,
        step=steps.get(row.step.casefold(), ""),
        zone=zones.id_of(row.zone),
        n=row.n,
        note=row.note,
        detail=_with_reading(row.detail),
        owner=row.owner,
        system=row.system,
        listed_as="" if row.key.startswith("\n") else row.key[:60],
    )
    words = f"{row.name} {row.step} {row.zone}" if item.kind is Kind.FASTENER else row.name
    return replace(item, critical=critical_by_default(item.kind, item.type, words))


def _write_items(pen: Pen, items: Mapping[str, Item]) -> None:
    insert_all(
        pen.session,
        models.ItemRow,
        (
            {
                "id": item.id,
                "build_id": pen.build,
                "number": item.number,
                "kind": item.kind.value,
                "name": item.name,
                "step_id": item.step or None,
                "zone_id": item.zone or None,
                "n": item.n,
                "critical": item.critical,
                "owner": item.owner,
                "note": item.note,
                "system": item.system,
                "listed_as": item.listed_as,
                "was_critical": item.critical,
                "critical_as": item.kind.value if item.critical else "",
                "detail": asdict(item.detail),
                "rev": 1,
            }
            for item in items.values()
        ),
    )


def _write_item_lines(
    pen: Pen, item: Item, row: ListedItem, place: str, edges: Mapping[str, tuple[str, ...]]
) -> None:
    """Say that an item came off, where it lies, and what becomes of it."""
    subject = f"item:{item.id}"
    pen.about[subject] = item
    said = AddItem(
        kind=item.kind,
        number=item.number,
        name=item.name,
        step=item.step,
        zone=item.zone,
        n=item.n,
        critical=item.critical,
        owner=item.owner,
        note=item.note,
        system=item.system,
        listed_as=item.listed_as,
        detail=asdict(item.detail),
        edges={rel: to for rel, to in edges.items() if rel != GOES_AFTER} or None,
        rev=1,
        act=opening_act(item.kind),
    )
    last = pen.write(subject, said)
    if after := edges.get(GOES_AFTER):
        last = pen.write(subject, EditItem(goes_after=tuple((i, _because(row)) for i in after)), [last])
    if row.side:
        last = pen.write(subject, EditItem(side=_side(row)), [last])
    if place:
        last = pen.write(subject, Move(place=place), [last])
    if row.destiny != "refit":
        reason = row.note.partition("\n")[0][:200] or _AS_LISTED
        pen.write(subject, Dispose(destiny=row.destiny, reason=reason), [last])
