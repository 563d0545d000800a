"""What names something by its id without a foreign key: tags, photos, places, edges, what is awaited."""

from collections.abc import Iterator
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, func, inspect, literal, or_, select
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from app.core.checking import inside_themselves
from app.core.items.items import RELATIONS
from app.core.problem import Problem
from app.store.checking.names import TABLES, called
from app.store.db.models import (
    Base,
    EdgeRow,
    ItemRow,
    ItemStateRow,
    JournalRow,
    OutstandingRow,
    PhotoRow,
    Place,
    Shows,
    Step,
    Tag,
    Zone,
)


def reference_problems(session: Session) -> Iterator[Problem]:
    """Yield what names something that is not there, or that is another build's."""
    yield from _subjects(session)
    yield from _lines(session)
    yield from _photos_without_row(session)
    yield from _places(session)
    yield from _other_builds(session)
    yield from _edges(session)


def _subjects(session: Session) -> Iterator[Problem]:
    for column, key, words in (
        (Tag.subject, Tag.code, "tag {}"),
        (Shows.subject, Shows.photo_id, "photo {}"),
        (OutstandingRow.subject, OutstandingRow.what, "awaited «{}»"),
    ):
        for name, subject in session.execute(_pointing_nowhere(column, key)):
            said = f"It belongs to {subject.replace(':', ' ')}, which is not there."
            yield Problem("points-nowhere", said, words.format(name))


def _pointing_nowhere(column: "InstrumentedAttribute[Any]", key: Any) -> Select[Any]:
    there = [
        and_(column.startswith(f"{name}:"), _has_row(table, func.substr(column, len(name) + 2)))
        for name, table in TABLES.items()
    ]
    return select(key, column).where(column.is_not(None), column != "", ~or_(*there, _was_deleted(column)))


def _has_row(table: type[Base], row_id: ColumnElement[str]) -> ColumnElement[bool]:
    (key,) = inspect(table).primary_key
    return select(literal(1)).where(key == row_id).exists()


def _was_deleted(column: "InstrumentedAttribute[Any]") -> ColumnElement[bool]:
    """Tell in SQL whether a subject is a step that somebody deleted: its tags and photos stay behind."""
    deleted = JournalRow.body["deleted"].as_string().is_not(None)
    return select(JournalRow.id).where(JournalRow.subject == column, deleted).exists()


def _lines(session: Session) -> Iterator[Problem]:
    for column, key, words in (
        (PhotoRow.line_id, PhotoRow.id, "photo {}"),
        (OutstandingRow.done_line, OutstandingRow.what, "awaited «{}»"),
    ):
        there = select(JournalRow.id).where(JournalRow.id == column).exists()
        for name, line in session.execute(select(key, column).where(column.is_not(None), ~there)):
            yield Problem("points-nowhere", f"It names line {line}, which is not there.", words.format(name))


def _photos_without_row(session: Session) -> Iterator[Problem]:
    there = select(PhotoRow.id).where("photo:" + PhotoRow.id == JournalRow.subject).exists()
    for subject, sha in session.execute(
        select(JournalRow.subject, JournalRow.body["sha256"].as_string()).where(
            JournalRow.verb == "photo", ~there
        )
    ):
        said = f"Its line names the picture file {sha}.jpg, but its row is not there, so no page shows it."
        yield Problem("photo-row-missing", said, subject.replace(":", " "))


def _places(session: Session) -> Iterator[Problem]:
    rows = session.execute(select(Place.id, Place.parent_id, Place.build_id)).all()
    builds = {place: build for place, _, build in rows}
    for place, parent, build in rows:
        if parent and builds.get(parent) != build:
            yield Problem(
                "points-nowhere",
                f"It stands in place {parent}, which is not there.",
                called(session, f"place:{place}"),
            )
    for place in inside_themselves({place: parent or "" for place, parent, _ in rows}):
        yield Problem("place-in-itself", "It stands inside itself.", called(session, f"place:{place}"))
    lies_in = ItemStateRow.state["place"]["value"].as_string()
    there = select(Place.id).where(Place.id == lies_in, Place.build_id == ItemStateRow.build_id).exists()
    for subject, place in session.execute(select(ItemStateRow.subject, lies_in).where(lies_in != "", ~there)):
        yield Problem(
            "points-nowhere", f"It lies in place {place}, which is not there.", called(session, subject)
        )


def _other_builds(session: Session) -> Iterator[Problem]:
    for table, column, words in ((Step, ItemRow.step_id, "step"), (Zone, ItemRow.zone_id, "zone")):
        strangers = select(ItemRow.id).join(table, table.id == column)
        for item_id in session.scalars(strangers.where(table.build_id != ItemRow.build_id)):
            yield Problem(
                "another-build", f"Its {words} is another build's.", called(session, f"item:{item_id}")
            )


def _edges(session: Session) -> Iterator[Problem]:
    to_item = aliased(ItemRow)
    ends = (
        select(EdgeRow.from_item, EdgeRow.rel, EdgeRow.to_item)
        .join(ItemRow, ItemRow.id == EdgeRow.from_item)
        .join(to_item, to_item.id == EdgeRow.to_item)
    )
    for query, words in (
        (ends.where(ItemRow.build_id != to_item.build_id), "of another build"),
        (ends.where(EdgeRow.from_item == EdgeRow.to_item), "which is itself"),
    ):
        for from_item, rel, to in session.execute(query):
            said = f"It is tied ({rel}) to {called(session, f'item:{to}')}, {words}."
            yield Problem("edge", said, called(session, f"item:{from_item}"))
    unknown = select(EdgeRow.from_item, EdgeRow.rel).where(EdgeRow.rel.not_in(RELATIONS))
    for from_item, rel in session.execute(unknown):
        said = f"It is tied to another item by «{rel}», which this program does not know."
        yield Problem("edge", said, called(session, f"item:{from_item}"))
