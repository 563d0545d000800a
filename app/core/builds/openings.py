"""Caps, rags and props, and the openings that they close."""

from collections.abc import Iterable

from app.core.builds.entry import Entry
from app.core.builds.snapshot import Snapshot
from app.core.items.kinds import Kind

HAVE_OPENINGS = frozenset({Kind.CONNECTION, Kind.PART, Kind.FASTENER})
"""Kinds of things that leave something open where they come off."""


def may_be_closed(build: Snapshot, zone: str, most: int) -> tuple[Entry, ...]:
    """Return what a cap or rag may close: what came off last, that of the zone in hand first.

    Args:
        build: As it stands.
        zone: The id of the zone in hand; empty for none.
        most: How many at the most.
    """
    opened = [entry for entry in build.items if entry.item.kind in HAVE_OPENINGS and entry.off_seq]
    opened.sort(key=lambda entry: (entry.item.zone != zone, -entry.off_seq))
    return tuple(opened[:most])


def caps_of_no_opening(build: Snapshot, lines: Iterable[Entry]) -> list[Entry]:
    """Return the caps, rags and props among open lines of which nobody said what they close."""
    stated = {edge.frm for edge in build.edges if edge.rel == "closes"}
    return [e for e in lines if e.is_open and e.item.kind is Kind.TEMPORARY and e.item.id not in stated]
