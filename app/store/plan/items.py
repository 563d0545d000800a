"""Items: brought into being, described, tied to each other. What happened to them is in the journal."""

from dataclasses import asdict, replace
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.items.items import Edge, Fastener, Item, critical_after, critical_by_default
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind, opening_act
from app.core.order.acts import thing_of
from app.core.problem import STALE, Problem
from app.core.tightening.torque_table import cautions_of
from app.store.db.models import EdgeRow, ItemRow, Step, Zone
from app.store.journal import append, as_item
from app.store.plan.install_exceptions import cycle_problem, plan_of


def add_item(session: Session, item: Item, line: Line, *, build_id: str, now: str) -> ItemRow:
    """Bring an item into being with its first line.

    Args:
        session: Of a unit of work.
        item: Its `number` is passed over: the next free one of the build is given.
        line: The `add` line, whose body may carry the first act.
        build_id: The build.
        now: The server's time.
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
        detail=asdict(item.detail),
    )
    session.add(row)
    session.flush()
    append(session, line, build_id=build_id, now=now)
    return row


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
    body = {"kind": item.kind.value, "act": (act or opening_act(item.kind)).value}
    return Line(line_id, f"item:{item.id}", "add", body, frozenset(), person, device, 0, at)


def edit_item(
    session: Session, item_id: str, changed: Item, line: Line, *, rev: int, now: str
) -> Problem | None:
    """Write new words for an item.

    Args:
        session: Of a unit of work.
        item_id: Which one.
        changed: All its values; id and number stay.
        line: The `edit` line; its body gets the fields that changed, and what speaks against a torque.
        rev: What the writer had on the screen; another one is a `Problem` and nothing is written.
        now: The server's time.
    """
    row = session.get_one(ItemRow, item_id)
    if row.rev != rev:
        return STALE
    before = as_item(row)
    words = {"words_before": _words(session, before), "words_after": _words(session, changed)}
    changed = replace(changed, critical=critical_after(before, changed, **words))
    if problem := _moved_into_cycle(session, row, changed):
        return problem
    row.kind, row.name, row.n = changed.kind, changed.name, changed.n
    row.step_id, row.zone_id = changed.step or None, changed.zone or None
    row.critical, row.owner, row.note = changed.critical, changed.owner, changed.note
    row.detail = asdict(changed.detail)
    row.rev += 1
    body = _difference(before, changed) | _spoken_against(before, changed)
    append(session, replace(line, body=body), build_id=row.build_id, now=now)
    return None


def _spoken_against(before: Item, after: Item) -> dict[str, Any]:
    """Return the cautions about a changed torque, to be recorded with it."""
    if not isinstance(after.detail, Fastener) or before.detail == after.detail:
        return {}
    cautions = [{"code": each.code, "message": each.message} for each in cautions_of(after.detail)]
    return {"cautions": cautions} if cautions else {}


def _moved_into_cycle(session: Session, row: ItemRow, changed: Item) -> Problem | None:
    """Return the cycle that another step or kind would close."""
    if (row.step_id or "", row.kind) == (changed.step, changed.kind):
        return None
    plan = plan_of(session, row.build_id)
    kept = tuple(thing for thing in plan.things if thing.id != row.id)
    return cycle_problem(session, replace(plan, things=(*kept, thing_of(changed))), "step")


def _difference(before: Item, after: Item) -> dict[str, Any]:
    old, new = asdict(before), asdict(after)
    return {key: new[key] for key in new if new[key] != old[key] and key not in {"id", "number"}}


def set_edges(session: Session, item_id: str, rel: str, targets: set[str]) -> Problem | None:
    """Make an item's edges of one sort be exactly these; a cycle is a `Problem` that names its members."""
    here = select(EdgeRow).where(EdgeRow.from_item == item_id, EdgeRow.rel == rel)
    rows = {row.to_item: row for row in session.scalars(here)}
    if targets == rows.keys():
        return None
    plan = plan_of(session, session.get_one(ItemRow, item_id).build_id)
    kept = tuple(edge for edge in plan.edges if (edge.frm, edge.rel) != (item_id, rel))
    added = tuple(Edge(item_id, rel, target) for target in sorted(targets))
    if problem := cycle_problem(session, replace(plan, edges=(*kept, *added)), rel):
        return problem
    for target in rows.keys() - targets:
        session.delete(rows[target])
    session.add_all(EdgeRow(from_item=item_id, rel=rel, to_item=target) for target in targets - rows.keys())
    session.flush()
    return None
