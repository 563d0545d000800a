"""Builds read from the database, each kept until the journal's next line."""

import re
from collections import defaultdict
from collections.abc import Set as AbstractSet
from dataclasses import replace
from threading import Lock

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, PlaceFacts, Snapshot, StepFacts, ZoneFacts
from app.core.items.items import Edge, Item
from app.core.items.roles import Role
from app.core.items.state import ItemState, fold
from app.core.ledger.ledger import has_begun, why_open, word
from app.store.db.models import Build, EdgeRow, ItemRow, ItemStateRow, PhotoRow, Place, Shows, Step, Tag, Zone
from app.store.journal import as_item, last_seq, read_state, step_as_item
from app.store.plan.builds import layout
from app.store.plan.install_exceptions import install_exceptions, step_edges
from app.store.procurement.outstanding import outstanding_of


class Snapshots:
    """Keeps the newest snapshot of each build; any line in the journal makes the next reader load anew."""

    def __init__(self) -> None:
        self._kept: dict[int, Snapshot] = {}
        self._lock = Lock()

    def of(self, session: Session, build_nr: int) -> Snapshot | None:
        """Return the build as it stands now; `None` where there is no such build.

        What a unit of work sees of its own is not kept: it may yet be taken back, and its number given again.
        """
        seq = last_seq(session)
        kept = self._kept.get(build_nr)
        if kept is not None and kept.seq == seq and "writes" not in session.info:
            return kept
        loaded = load(session, build_nr, seq)
        if loaded is not None and "writes" not in session.info:
            with self._lock:
                if build_nr not in self._kept or self._kept[build_nr].seq <= seq:
                    self._kept[build_nr] = loaded
        return loaded


def load(session: Session, build_nr: int, seq: int) -> Snapshot | None:
    """Read a whole build."""
    build = session.scalars(select(Build).where(Build.nr == build_nr)).one_or_none()
    if build is None:
        return None
    steps = _steps(session, build.id)
    edges = _edges(session, build.id)
    photos, tray = _photos(session, build.id)
    labels = {zone["key"]: zone["label"][build.dialect] for zone in layout(build.layout)["zones"]}
    return Snapshot(
        seq=seq,
        id=build.id,
        nr=build.nr,
        title=build.title,
        vehicle=build.vehicle,
        layout=build.layout,
        units=build.units,
        dialect=build.dialect,
        rev=build.rev,
        zones=tuple(
            ZoneFacts(z.id, z.key, z.level, labels.get(z.key, z.label))
            for z in session.scalars(select(Zone).where(Zone.build_id == build.id).order_by(Zone.position))
        ),
        steps=tuple(
            StepFacts(
                s.id,
                s.position,
                s.name,
                s.height,
                s.people,
                s.minutes,
                s.direction,
                tuple(s.cautions),
                s.rev,
                s.shares_zone,
                Role(s.role),
                s.name_back,
                s.instruction,
                s.instruction_back,
                s.for_helper,
            )
            for s in steps
        ),
        entries=_entries(session, build.id, steps, {e.to for e in edges if e.rel == "replaces"}),
        edges=edges,
        places={
            p.id: PlaceFacts(p.id, p.name, p.parent_id or "")
            for p in sorted(session.scalars(select(Place).where(Place.build_id == build.id)), key=_by_name)
        },
        tags=_tags(session),
        photos=photos,
        tray=tray,
        currency=build.currency,
        outstanding=outstanding_of(session, build.id),
        step_edges=step_edges(session, build.id),
        install_exceptions=install_exceptions(session, build.id),
    )


def _by_name(place: Place) -> tuple[str | int, ...]:
    """Return what puts «bag 2» before «bag 10»."""
    parts = re.split(r"(\d+)", place.name.casefold())
    return tuple(int(part) if part.isdecimal() else part for part in parts)


def _steps(session: Session, build_id: str) -> list[Step]:
    return list(session.scalars(select(Step).where(Step.build_id == build_id).order_by(Step.position)))


def _edges(session: Session, build_id: str) -> tuple[Edge, ...]:
    own = select(EdgeRow).join(ItemRow, ItemRow.id == EdgeRow.from_item).where(ItemRow.build_id == build_id)
    return tuple(Edge(row.from_item, row.rel, row.to_item) for row in session.scalars(own))


def _entries(
    session: Session, build_id: str, steps: list[Step], succeeded: AbstractSet[str]
) -> dict[str, Entry]:
    rows = session.execute(
        select(ItemStateRow.subject, ItemStateRow.state).where(ItemStateRow.build_id == build_id)
    )
    states = {subject: read_state(stored) for subject, stored in rows}
    entries = {}
    for row in session.scalars(select(ItemRow).where(ItemRow.build_id == build_id)):
        item = as_item(row)
        state = states.get(f"item:{item.id}")
        entries[item.id] = _entry(item, state, row.rev, succeeded=item.id in succeeded)
    under_way = any(has_begun(entry.state) for entry in entries.values())
    for step in steps:
        if step.direction == "on_only":
            entry = _entry(step_as_item(step), states.get(f"step:{step.id}"), step.rev)
            # The way back begins when the first thing is off: until then its steps are no open lines.
            entries[step.id] = entry if under_way else replace(entry, reasons=())
    return entries


def _entry(item: Item, state: ItemState | None, rev: int, *, succeeded: bool = True) -> Entry:
    state = state or fold(item.kind, item.positions, ())
    return Entry(item, state, why_open(item, state, succeeded=succeeded), word(item, state), rev)


def _tags(session: Session) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = defaultdict(list)
    given = select(Tag.subject, Tag.code).where(Tag.subject.is_not(None), Tag.void_at.is_(None))
    for subject, code in session.execute(given.order_by(Tag.code)):
        found[str(subject)].append(code)
    return {subject: tuple(codes) for subject, codes in found.items()}


def _photos(session: Session, build_id: str) -> tuple[dict[str, tuple[str, ...]], tuple[str, ...]]:
    rows = session.execute(
        select(PhotoRow.id, Shows.subject)
        .join(Shows, Shows.photo_id == PhotoRow.id, isouter=True)
        .where(PhotoRow.build_id == build_id)
        .order_by(PhotoRow.at, PhotoRow.id),
    )
    found: dict[str, list[str]] = defaultdict(list)
    tray: list[str] = []
    for photo, subject in rows:
        if subject is None:
            tray.append(photo)
        else:
            found[subject].append(photo)
    return {subject: tuple(ids) for subject, ids in found.items()}, tuple(tray)
