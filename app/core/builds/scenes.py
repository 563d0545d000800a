"""What the judge of sequence needs of a build."""

from collections.abc import Iterable, Mapping

from app.core.builds.entry import Entry
from app.core.consistency.scene import Expected, Scene
from app.core.items.items import Edge, Fluid
from app.core.phases.phases import Phases
from app.core.phases.sides import Sides
from app.core.procurement.outstanding import Outstanding


def scene_of(
    entries: Mapping[str, Entry],
    edges: tuple[Edge, ...],
    phases: Phases,
    sides: Sides,
    outstanding: Iterable[Outstanding],
) -> Scene:
    """Return the build as the judge of sequence sees it; what is away is what is open on the list of it."""
    away = (each.item_id for each in outstanding if each.is_open and each.category == "away")
    systems = {i: entry.item.circuit for i, entry in entries.items() if entry.item.circuit}
    expected = {
        i: Expected(refill_l=entry.item.detail.capacity_l)
        for i, entry in entries.items()
        if isinstance(entry.item.detail, Fluid)
    }
    things = {i: entry.seen for i, entry in entries.items()}
    return Scene(things, edges, phases, sides, frozenset(filter(None, away)), systems, expected)
