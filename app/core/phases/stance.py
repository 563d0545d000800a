"""Whether the vehicle can stand on its wheels, roll and be steered, from what is out of it."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from app.core.items.items import Item
from app.core.items.kinds import Act, rung
from app.core.items.state import ItemState
from app.core.ledger.ledger import is_unused, work_act
from app.core.phases.phases import Phases
from app.core.phases.registers import Place
from app.core.phases.units import UnitKind

STANDS, ROLLS, STEERS = "stands", "rolls", "steers"
_WORDS: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {
        STANDS: re.compile(
            r"\b(?:axle nut|axle shaft|half shaft|hub|wheel|strut|control arm|ball joint|subframe)"
        ),
        ROLLS: re.compile(r"\b(?:axle|half shaft|hub|wheel|propshaft|driveshaft|brake)"),
        STEERS: re.compile(r"\b(?:steering|tie rod|rack)"),
    }
)
"""Words of what the vehicle needs to stand, roll and be steered (common practice)."""

HEIGHTS_ON_WHEELS = frozenset({"wheels", "ground"})


@dataclass(frozen=True, slots=True)
class Stance:
    """What the vehicle can do as it is, and by what it cannot; ids of items and units."""

    stands: tuple[str, ...] = ()
    rolls: tuple[str, ...] = ()
    steers: tuple[str, ...] = ()

    @property
    def impossible_heights(self) -> frozenset[str]:
        """The heights at which it cannot be put now."""
        return HEIGHTS_ON_WHEELS if self.stands else frozenset()


def stance_of(phases: Phases, lines: Iterable[tuple[Item, ItemState]]) -> Stance:
    """Return what keeps the vehicle from standing on its wheels, rolling, being steered.

    A part of a group counts like the whole: an axle nut that is only started carries no wheel.
    """
    out = [item for item, state in lines if _is_undone(item, state)]
    frames = tuple(
        unit.id
        for unit in phases.units.of_kind(UnitKind.SUBFRAME)
        if phases.states[unit.id].place is not Place.IN or phases.states[unit.id].on_hook
    )
    return Stance(*((*frames, *_named(out, need)) for need in (STANDS, ROLLS, STEERS)))


def _named(out: Iterable[Item], need: str) -> tuple[str, ...]:
    return tuple(item.id for item in out if _WORDS[need].search(f"{item.name} {item.type}".casefold()))


def _is_undone(item: Item, state: ItemState) -> bool:
    if is_unused(state) and state.positions:
        return False
    work = rung(item.kind, work_act(item))
    acts = [p for p in state.positions if p.piece != "spare"]
    return any(p.disagree or (p.act is not None and _at(item, p.act) < work) for p in acts)


def _at(item: Item, act: Act) -> int:
    return rung(item.kind, act)
