"""The parts of a build as the database has them: zones, steps, what ties what, places, tags, photos."""

import re
from collections import defaultdict

from sqlalchemy import literal_column, select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import PlaceFacts, StepFacts, ZoneFacts
from app.core.items.items import Edge
from app.core.items.roles import Role
from app.store.db.models import Build, EdgeRow, ItemRow, PhotoRow, Place, Shows, Step, Tag, Zone
from app.store.plan.builds import layout

Subjects = dict[str, tuple[str, ...]]


def zones_of(session: Session, build: Build) -> tuple[ZoneFacts, ...]:
    """Return the zones of a build in the order of its drawing, in the build's dialect."""
    labels = {zone["key"]: zone["label"][build.dialect] for zone in layout(build.layout)["zones"]}
    rows = session.scalars(select(Zone).where(Zone.build_id == build.id).order_by(Zone.position))
    return tuple(ZoneFacts(z.id, z.key, z.level, labels.get(z.key, z.label)) for z in rows)


def steps_of(session: Session, build_id: str) -> tuple[StepFacts, ...]:
    """Return the steps of a build in the order of taking off."""
    rows = session.scalars(select(Step).where(Step.build_id == build_id).order_by(Step.position))
    return tuple(
        StepFacts(
            row.id,
            row.position,
            row.name,
            row.height,
            row.people,
            row.minutes,
            row.direction,
            tuple(row.cautions),
            row.rev,
            row.shares_zone,
            Role(row.role),
            row.name_back,
            row.instruction,
            row.instruction_back,
            row.for_helper,
        )
        for row in rows
    )


def edges_of(session: Session, build_id: str) -> tuple[Edge, ...]:
    """Return what ties the items of a build to others, in the order in which it was said."""
    rows = session.execute(
        select(EdgeRow.from_item, EdgeRow.rel, EdgeRow.to_item)
        .join(ItemRow, ItemRow.id == EdgeRow.from_item)
        .where(ItemRow.build_id == build_id)
        .order_by(literal_column("edge.rowid"))
    )
    return tuple(Edge(frm, rel, to) for frm, rel, to in rows)


def places_of(session: Session, build_id: str) -> dict[str, PlaceFacts]:
    """Return the places of a build by their names."""
    rows = session.execute(select(Place.id, Place.name, Place.parent_id).where(Place.build_id == build_id))
    found = [PlaceFacts(place_id, name, parent or "") for place_id, name, parent in rows]
    return {place.id: place for place in sorted(found, key=_by_name)}


def _by_name(place: PlaceFacts) -> tuple[list[str | int], str]:
    """Return what puts «bag 2» before «bag 10»; of two alike the one whose id comes first."""
    parts = re.split(r"(\d+)", place.name.casefold())
    return [int(part) if part.isdecimal() else part for part in parts], place.id


def tags_of(session: Session) -> Subjects:
    """Return the codes in use of each thing in the folder."""
    found: dict[str, list[str]] = defaultdict(list)
    given = select(Tag.subject, Tag.code).where(Tag.subject.is_not(None), Tag.void_at.is_(None))
    for subject, code in session.execute(given.order_by(Tag.code)):
        found[str(subject)].append(code)
    return {subject: tuple(codes) for subject, codes in found.items()}


def photos_of(session: Session, build_id: str) -> Subjects:
    """Return the photos of each thing of a build, oldest first."""
    rows = session.execute(
        select(PhotoRow.id, Shows.subject)
        .join(Shows, Shows.photo_id == PhotoRow.id)
        .where(PhotoRow.build_id == build_id)
        .order_by(PhotoRow.at, PhotoRow.id),
    )
    found: dict[str, list[str]] = defaultdict(list)
    for photo, subject in rows:
        found[subject].append(photo)
    return {subject: tuple(ids) for subject, ids in found.items()}


def tray_of(session: Session, build_id: str) -> tuple[str, ...]:
    """Return the photos of a build that show nothing yet, oldest first."""
    rows = (
        select(PhotoRow.id)
        .join(Shows, Shows.photo_id == PhotoRow.id, isouter=True)
        .where(PhotoRow.build_id == build_id, Shows.photo_id.is_(None))
        .order_by(PhotoRow.at, PhotoRow.id)
    )
    return tuple(session.scalars(rows))
