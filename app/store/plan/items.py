"""Items: brought into being, described, tied to each other. What happened to them is in the journal."""

from collections.abc import Collection, Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import asdict, replace
from types import MappingProxyType
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.items.bodies.things import AddItem, EditItem
from app.core.items.items import Edge, Fastener, Item, critical_after, critical_by_default
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind, opening_act
from app.core.order.acts import Plan, thing_of
from app.core.problem import STALE, Problem
from app.core.tightening.readings import with_reading_kept
from app.core.tightening.torque_table import cautions_of
from app.store.db.models import EdgeRow, ItemRow, Step, Zone
from app.store.journal import append, as_item
from app.store.plan.install_exceptions import cycle_problem, plan_of

NO_EDGES: Mapping[str, frozenset[str]] = MappingProxyType({})
ITEM_FIELDS = (
    "kind",
    "number",
    "name",
    "n",
    "critical",
    "owner",
    "note",
    "system",
    "listed_as",
    "detail",
    "rev",
)
"""Columns of an item that the journal says under the same names."""


def add_item(
    session: Session,
    item: Item,
    line: Line,
    *,
    build_id: str,
    now: str,
    edges: Mapping[str, Collection[str]] = NO_EDGES,
) -> ItemRow:
    """Bring an item into being with its first line.

    Args:
        session: Of a unit of work.
        item: Its `number` is passed over: the next free one of the build is given.
        line: The `add` line, whose body may carry the first act; it gets all that is known of the item.
        build_id: The build.
        now: The server's time.
        edges: What it holds, joins, replaces and so on. Nothing leads to a new item, so it closes no cycle.
    """
    number = (session.scalar(select(func.max(ItemRow.number)).where(ItemRow.build_id == build_id)) or 0) + 1
    row = ItemRow(
        id=item.id,
        build_id=build_id,
        number=number,
        kind=item.kind,
        name=item.name,
        step_id=_known(session, Step, item.step),
        zone_id=_known(session, Zone, item.zone),
        n=item.n,
        critical=item.critical or critical_by_default(item.kind, item.type, _words(session, item)),
        owner=item.owner,
        note=item.note,
        system=item.system,
        listed_as=item.listed_as,
        detail=asdict(with_reading_kept(item.detail)),
        rev=1,
    )
    row.was_critical = row.critical
    row.critical_as = row.kind if row.critical else ""
    session.add(row)
    session.flush()
    leads = {rel: tuple(sorted(targets)) for rel, targets in edges.items() if targets}
    session.add_all(_edge_rows(item.id, leads))
    body = dict(line.body) | AddItem(**item_values(row), edges=leads or None).stored()
    append(session, replace(line, body=body), build_id=build_id, now=now)
    return row


def item_values(row: ItemRow) -> dict[str, Any]:
    """Return the fields of an item as its lines say them."""
    same = {key: getattr(row, key) for key in ITEM_FIELDS}
    return same | {"step": row.step_id or "", "zone": row.zone_id or ""}


def _edge_rows(item_id: str, edges: Mapping[str, Iterable[str]]) -> list[EdgeRow]:
    return [
        EdgeRow(from_item=item_id, rel=rel, to_item=target)
        for rel, targets in edges.items()
        for target in targets
    ]


def _words(session: Session, item: Item) -> str:
    """Return what an item's name, its step and, for bolts, its zone say of what it holds."""
    step = session.get(Step, item.step) if item.step else None
    zone = session.get(Zone, item.zone) if item.zone and item.kind is Kind.FASTENER else None
    return " ".join(
        [
            item.name,
            step.name if step and item.kind is Kind.FASTENER else "",
            zone.label if zone else "",
        ]
    )


def _known(session: Session, table: type[Any], row_id: str) -> str | None:
    """Return an id where its row is there: a step deleted while a phone was away does not lose the item."""
    return row_id if row_id and session.get(table, row_id) else None


def first_line(item: Item, *, line_id: str, act: Act | None, person: str, device: str, at: str) -> Line:
    """Return the `add` line of an item, with the act it begins with (by default its kind's opening act)."""
    said = AddItem(kind=item.kind, act=act or opening_act(item.kind))
    return Line(line_id, f"item:{item.id}", said.VERB, said.stored(), frozenset(), person, device, 0, at)


def edit_item(
    session: Session,
    item_id: str,
    changed: Item,
    line: Line,
    *,
    rev: int,
    now: str,
    edges: Mapping[str, AbstractSet[str]] = NO_EDGES,
) -> Problem | None:
    """Write new words for an item, and what it leads to.

    Args:
        session: Of a unit of work.
        item_id: Which one.
        changed: All its values; id and number stay.
        line: The `edit` line; its body gets the fields that changed, and what speaks against a torque.
        rev: What the writer had on the screen; another one is a `Problem` and nothing is written.
        now: The server's time.
        edges: For each relation that is said, all that the item now leads to; a cycle is a `Problem`.
    """
    row = session.get_one(ItemRow, item_id)
    if row.rev != rev:
        return STALE
    before = as_item(row)
    words = {"words_before": _words(session, before), "words_after": _words(session, changed)}
    changed = replace(
        changed,
        critical=critical_after(before, changed, **words),
        detail=with_reading_kept(changed.detail, before.detail),
    )
    plan = plan_of(session, row.build_id)
    if (row.step_id or "", row.kind) != (changed.step, changed.kind):
        kept = tuple(thing for thing in plan.things if thing.id != row.id)
        plan = replace(plan, things=(*kept, thing_of(changed)))
        if problem := cycle_problem(session, plan, "step"):
            return problem
    new = {rel: targets for rel, targets in edges.items() if targets != _targets(plan, item_id, rel)}
    for rel, targets in new.items():
        plan = _leading(plan, item_id, rel, targets)
        if problem := cycle_problem(session, plan, rel):
            return problem
    row.kind, row.name, row.n = changed.kind, changed.name, changed.n
    row.step_id, row.zone_id = changed.step or None, changed.zone or None
    row.was_critical = row.was_critical or changed.critical
    row.critical_as = row.critical_as or (changed.kind if changed.critical else "")
    row.critical, row.owner, row.note = changed.critical, changed.owner, changed.note
    row.system = changed.system
    row.detail = asdict(changed.detail)
    row.rev += 1
    _write_edges(session, item_id, new)
    leads = {rel: tuple(sorted(targets)) for rel, targets in new.items()}
    said = EditItem(**_difference(before, changed), edges=leads or None, rev=row.rev)
    body = said.stored() | _spoken_against(before, changed)
    append(session, replace(line, body=body), build_id=row.build_id, now=now)
    return None


def _spoken_against(before: Item, after: Item) -> dict[str, Any]:
    """Return the cautions about a changed torque, to be recorded with it."""
    if not isinstance(after.detail, Fastener) or before.detail == after.detail:
        return {}
    cautions = [{"code": each.code, "message": each.message} for each in cautions_of(after.detail)]
    return {"cautions": cautions} if cautions else {}


def _difference(before: Item, after: Item) -> dict[str, Any]:
    old, new = asdict(before), asdict(after)
    unsaid = {"id", "number", "was_critical", "listed_as", "critical_as"}
    return {key: new[key] for key in new if new[key] != old[key] and key not in unsaid}


def set_edges(
    session: Session, item_id: str, rel: str, targets: AbstractSet[str], line: Line, *, now: str
) -> Problem | None:
    """Make an item's edges of one sort be exactly these; a cycle is a `Problem` that names its members.

    Args:
        session: Of a unit of work.
        item_id: Which item.
        rel: One of `RELATIONS`.
        targets: Ids of all that it leads to.
        line: The `edit` line; its body gets the edges. It is written only where they change.
        now: The server's time.
    """
    build_id = session.get_one(ItemRow, item_id).build_id
    plan = plan_of(session, build_id)
    if targets == _targets(plan, item_id, rel):
        return None
    if problem := _lead(session, plan, item_id, rel, targets):
        return problem
    body = EditItem(edges={rel: tuple(sorted(targets))})
    append(session, replace(line, body=body.stored()), build_id=build_id, now=now)
    return None


def lead(session: Session, item_id: str, rel: str, targets: AbstractSet[str]) -> Problem | None:
    """Write an item's edges of one sort; a line of the caller's says them. A cycle is a `Problem`."""
    plan = plan_of(session, session.get_one(ItemRow, item_id).build_id)
    return None if targets == _targets(plan, item_id, rel) else _lead(session, plan, item_id, rel, targets)


def _lead(session: Session, plan: Plan, item_id: str, rel: str, targets: AbstractSet[str]) -> Problem | None:
    if problem := cycle_problem(session, _leading(plan, item_id, rel, targets), rel):
        return problem
    _write_edges(session, item_id, {rel: targets})
    return None


def _targets(plan: Plan, item_id: str, rel: str) -> set[str]:
    return {edge.to for edge in plan.edges if (edge.frm, edge.rel) == (item_id, rel)}


def _leading(plan: Plan, item_id: str, rel: str, targets: AbstractSet[str]) -> Plan:
    """Return a plan in which an item's edges of one sort are exactly these."""
    kept = tuple(edge for edge in plan.edges if (edge.frm, edge.rel) != (item_id, rel))
    return replace(plan, edges=(*kept, *(Edge(item_id, rel, target) for target in sorted(targets))))


def _write_edges(session: Session, item_id: str, edges: Mapping[str, AbstractSet[str]]) -> None:
    for rel, targets in edges.items():
        here = select(EdgeRow).where(EdgeRow.from_item == item_id, EdgeRow.rel == rel)
        rows = {row.to_item: row for row in session.scalars(here)}
        for target in rows.keys() - targets:
            session.delete(rows[target])
        session.add_all(_edge_rows(item_id, {rel: sorted(targets - rows.keys())}))
        session.flush()
