"""From the old engine to the new one: what replaces what, what moves where, what is born on the way back."""

from dataclasses import replace

from sqlalchemy.orm import Session

from app.core.builds.snapshot import Snapshot
from app.core.items.bodies.acts import Dispose
from app.core.items.bodies.things import AddItem, EditItem
from app.core.items.items import DETAIL, Item
from app.core.items.kinds import opening_act
from app.core.ledger.engines import NEW
from app.core.problem import STALE, Problem
from app.store.db.clock import new_id
from app.store.db.models import ItemRow
from app.store.journal import append
from app.store.plan.builds import Writer
from app.store.plan.items import add_item, first_line, lead


def link_replacement(
    session: Session,
    build: Snapshot,
    item_id: str,
    others: set[str],
    *,
    moves: bool,
    rev: int,
    writer: Writer,
    now: str,
) -> Problem | None:
    """Write what an old item moves to, or which new ones replace it: as many as it takes, and no others.

    Args:
        session: Of a unit of work.
        build: As it stands in this transaction.
        item_id: The old one.
        others: Ids of the new ones.
        moves: Whether it moves to them; else they replace it.
        rev: What the page showed of the old one; another is `stale` and nothing is written.
        writer: Who writes.
        now: The server's time.
    """
    row = session.get_one(ItemRow, item_id)
    if row.rev != rev:
        return STALE
    if item_id in others:
        return Problem("itself", "An item cannot stand in its own place: type other numbers.", "others")
    problem = (
        lead(session, item_id, "moves_to", others) if moves else _replace(session, build, item_id, others)
    )
    if problem:
        return replace(problem, where="others")
    row.rev += 1
    entry = build.entries[item_id]
    named = tuple(sorted(others))
    said = EditItem(moves_to=named, rev=row.rev) if moves else EditItem(replaced_by=named, rev=row.rev)
    line = writer.say(entry.subject, said, entry.state.tips)
    append(session, line, build_id=build.id, now=now)
    return None


def _replace(session: Session, build: Snapshot, old: str, news: set[str]) -> Problem | None:
    replaced = [(edge.frm, edge.to) for edge in build.edges if edge.rel == "replaces"]
    for new in sorted(news | {frm for frm, to in replaced if to == old}):
        targets = {to for frm, to in replaced if frm == new and to != old}
        problem = lead(session, new, "replaces", targets | ({old} if new in news else set()))
        if problem:
            return problem
    return None


def add_new_part(session: Session, item: Item, *, build_id: str, writer: Writer, now: str) -> None:
    """Bring something into being that the vehicle never had: its line is open, though it never came off."""
    said = AddItem(kind=item.kind, act=opening_act(item.kind), born="refit")
    add_item(session, item, writer.say(f"item:{item.id}", said), build_id=build_id, now=now)


def replace_with_new(
    session: Session, build: Snapshot, item_id: str, name: str, *, writer: Writer, now: str
) -> str:
    """Put a new item in the place of an old one, and return its id.

    The new one takes the old one's kind, step, zone and count, and belongs to the new engine; what becomes of
    the old one is still to be said.

    Args:
        session: Of a unit of work.
        build: As it stands in this transaction.
        item_id: The old one.
        name: What the new one is called.
        writer: Who writes.
        now: The server's time.
    """
    entry = build.entries[item_id]
    old = entry.item
    new = Item(new_id(), 0, old.kind, name, old.step, old.zone, old.n)
    new = replace(new, critical=old.critical, owner=NEW, detail=DETAIL[new.kind]())
    first = first_line(new, line_id=new_id(), act=None, person=writer.person, device=writer.device, at=now)
    add_item(session, new, first, build_id=build.id, now=now, edges={"replaces": {item_id}})
    disposed = writer.say(entry.subject, Dispose(destiny="replaced", reason=name), entry.state.tips)
    append(session, disposed, build_id=build.id, now=now)
    return new.id
