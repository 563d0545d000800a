"""What a device took off last, as the page of taking off shows it: one large, the others small."""

from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot
from app.core.wording.items import KIND_WORDS
from app.store.journal import newest_added

MOST_SHOWN = 12
"""How many of them the page shows, however many there are."""


@dataclass(frozen=True, slots=True)
class Taken:
    """One thing that was taken off.

    Args:
        item_id: Which thing.
        number: What is written on it.
        code: Its tag's code; empty where it has none any more.
        kind: In words.
        kind_key, state_key: Of its sign.
        zone: The words of its zone; empty where nobody said it.
        photo: The id of its first photo; empty where it has none.
        line: The line that an undo takes back.
        after: The lines that the page knows about it.
        is_off: Whether that line stands; otherwise the capture was undone.
    """

    item_id: str
    number: int
    code: str
    kind: str
    kind_key: str
    state_key: str
    zone: str
    photo: str
    line: str
    after: tuple[str, ...]
    is_off: bool


def newest_taken(session: Session, build: Snapshot, device: str) -> tuple[Taken, ...]:
    """Return what a device took off last, newest first."""
    lines = newest_added(session, build.id, device, MOST_SHOWN)
    found = ((build.entries.get(line.subject.partition(":")[2]), line.id) for line in lines)
    return tuple(_taken(build, entry, line_id) for entry, line_id in found if entry)


def _taken(build: Snapshot, entry: Entry, line_id: str) -> Taken:
    item, zone = entry.item, build.zone.get(entry.item.zone)
    return Taken(
        item.id,
        item.number,
        next(iter(build.tags.get(entry.subject, ())), ""),
        KIND_WORDS[item.kind],
        item.kind.value,
        entry.state_key,
        zone.label if zone else "",
        next(iter(build.photos.get(entry.subject, ())), ""),
        line_id,
        entry.state.tips,
        entry.begun,
    )


def last_off(taken: Iterable[Taken]) -> Taken | None:
    """Return the newest that is off: what was undone is never the one whose number is to be written."""
    return next((each for each in taken if each.is_off), None)
