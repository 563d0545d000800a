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
    systems = {item.id: system for system, items in sides.by_system.items() for item in items}
    dry = _dry_systems(entries, sides)
    fluids = ((item.id, item.detail) for item in sides.by_kind.get(Kind.FLUID, ()))
    expected = {
        i: Expected(fluid.capacity_l, fluid.dry_l, is_dry=fluid.system in dry)
        for i, fluid in fluids
        if isinstance(fluid, Fluid)
    }
    things = {i: entry.seen for i, entry in entries.items()}
    return Scene(things, edges, phases, sides, frozenset(filter(None, away)), systems, expected)


def _dry_systems(entries: Mapping[str, Entry], sides: Sides) -> frozenset[str]:
    """Return the systems that are filled from empty: of another engine, and where a part is new."""
    units = sides.units
    of_engine = _OF_AN_ENGINE if units.incoming() != units.outgoing() else ()
    renewed = (
        system
        for system, items in sides.by_system.items()
        if any(item.kind is Kind.PART and _is_renewed(entries[item.id]) for item in items)
    )
    return frozenset({*of_engine, *renewed})


def _is_renewed(entry: Entry) -> bool:
    return entry.state.destiny.value == "replaced"
