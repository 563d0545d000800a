"""Places: made, found by name, put into each other, and things put into them."""

from dataclasses import replace

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Snapshot
from app.core.items.bodies.plan import AddPlace
from app.core.problem import Problem
from app.store.db.clock import new_id
from app.store.db.models import Place
from app.store.journal import append, lines_of
from app.store.plan.builds import Writer


def add_place(session: Session, build_id: str, name: str, *, writer: Writer, now: str) -> Place:
    """Make a place with its first line."""
    place = Place(id=new_id(), build_id=build_id, name=name, parent_id=None)
    session.add(place)
    session.flush()
    said = AddPlace(name=name, rev=place.rev)
    append(session, writer.say(f"place:{place.id}", said), build_id=build_id, now=now)
    return place


def place_named(session: Session, build_id: str, name: str, *, writer: Writer, now: str) -> Place:
    """Return the place of that name, new or known."""
    found = session.scalars(select(Place).where(Place.build_id == build_id, Place.name == name)).first()
    return found or add_place(session, build_id, name, writer=writer, now=now)


def move_place(session: Session, place: Place, parent_id: str, *, writer: Writer, now: str) -> Problem | None:
    """Write down that a place now stands in another, with all that lies in it.

    Args:
        session: Of a unit of work.
        place: The one that moves.
        parent_id: A place of the same build; empty where it now stands on its own.
        writer: Who writes.
        now: The server's time.

    Returns:
        What is wrong, and then nothing is written: the other place is not there, or stands in this one.
    """
    parent = session.get(Place, parent_id) if parent_id else None
    if parent_id and (parent is None or parent.build_id != place.build_id):
        return Problem("no-place", "This place is not there: choose another.", "place")
    if _stands_in(session, parent_id, place.id):
        inside = f"«{place.name}» cannot stand in itself or in something that lies in it."
        return Problem("inside", inside, "place")
    seen = lines_of(session, f"place:{place.id}")
    line = writer.line(f"place:{place.id}", "move", {"place": parent_id})
    line = replace(line, after=frozenset(each.id for each in seen[-1:]))
    append(session, line, build_id=place.build_id, now=now)
    return None


def put_item(
    session: Session, build: Snapshot, item_id: str, name: str, *, seen: str, writer: Writer, now: str
) -> None:
    """Write down in which place a thing lies, by its name, where that is another one than before.

    Args:
        session: Of a unit of work.
        build: As it stood before.
        item_id: The thing.
        name: Of the place, new or known; empty where it lies nowhere.
        seen: Id of the line after which this one comes.
        writer: Who writes.
        now: The server's time.
    """
    entry = build.entries[item_id]
    if name == next(iter(build.place_path(entry.state.place.value)), ""):
        return
    place_id = place_named(session, build.id, name, writer=writer, now=now).id if name else ""
    line = replace(writer.line(entry.subject, "move", {"place": place_id}), after=frozenset({seen}))
    append(session, line, build_id=build.id, now=now)


def _stands_in(session: Session, inner: str, outer: str) -> bool:
    """Tell whether a place is another one or stands in it; a loop made by two phones ends where it closes."""
    seen: set[str] = set()
    while inner and inner not in seen:
        if inner == outer:
            return True
        seen.add(inner)
        place = session.get(Place, inner)
        inner = (place.parent_id or "") if place else ""
    return False
