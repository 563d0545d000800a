"""What the judge of sequence needs of a build."""

from collections.abc import Iterable, Mapping

from app.core.builds.entry import Entry
from app.core.consistency.scene import Expected, Scene
from app.core.items.items import Edge, Fluid
from app.core.items.kinds import Kind
from app.core.phases.phases import Phases
from app.core.phases.sides import Sides
from app.core.procurement.outstanding import Outstanding

_OF_AN_ENGINE = ("engine oil", "coolant")
"""What another engine comes without (common practice: it is bought or built empty)."""


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
    dry = _dry_systems(entries.values(), sides)
    expected = {
        i: Expected(detail.capacity_l, detail.dry_l, is_dry=detail.system in dry)
        for i, entry in entries.items()
        if isinstance(detail := entry.item.detail, Fluid)
    }
    things = {i: entry.seen for i, entry in entries.items()}
    return Scene(things, edges, phases, sides, frozenset(filter(None, away)), systems, expected)


def _dry_systems(entries: Iterable[Entry], sides: Sides) -> frozenset[str]:
    """Return the systems that are filled from empty: of another engine, and where a part is new."""
    units = sides.units
    of_engine = _OF_AN_ENGINE if units.incoming() != units.outgoing() else ()
    renewed = (e.item.circuit for e in entries if e.item.kind is Kind.PART and _is_renewed(e))
    return frozenset({*of_engine, *renewed} - {""})


def _is_renewed(entry: Entry) -> bool:
    return entry.state.destiny.value == "replaced"
