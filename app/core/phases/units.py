"""Units: the vehicle, each engine as a named thing, each gearbox, a subframe where there is one."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

NOT_SAID = ""
"""Nobody said to which unit something belongs."""

OLD, NEW, RETURNING = "old", "new", "returning"


class UnitKind(StrEnum):
    """What a unit is. `SUBFRAME` also stands for a frame or a cart that carries engine and gearbox."""

    VEHICLE = "vehicle"
    ENGINE = "engine"
    GEARBOX = "gearbox"
    SUBFRAME = "subframe"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of a build.

    Args:
        id: Its id in lines.
        label: `OLD` goes out, `NEW` comes in, `RETURNING` does both; empty for what stays.
        name: As the crew calls it.
    """

    id: str
    kind: UnitKind
    label: str = ""
    name: str = ""


VEHICLE = Unit("vehicle", UnitKind.VEHICLE)


@dataclass(frozen=True)
class Units:
    """The units of a build; the vehicle is always one of them."""

    known: tuple[Unit, ...] = (VEHICLE,)

    def __post_init__(self) -> None:
        """Refuse two units with one id, and a build without its vehicle."""
        ids = [unit.id for unit in self.known]
        if len(ids) != len(set(ids)) or VEHICLE.id not in ids:
            raise ValueError("units have ids of their own, and one is the vehicle")

    def __contains__(self, unit_id: object) -> bool:
        return any(unit.id == unit_id for unit in self.known)

    def kind(self, unit_id: str) -> UnitKind | None:
        """Return what a unit is; `None` for one that is not known."""
        return self._kinds.get(unit_id)

    @cached_property
    def _kinds(self) -> Mapping[str, UnitKind]:
        return {unit.id: unit.kind for unit in self.known}

    def of_kind(self, kind: UnitKind) -> tuple[Unit, ...]:
        """Return the units of a kind."""
        return tuple(unit for unit in self.known if unit.kind is kind)

    def outgoing(self, kind: UnitKind = UnitKind.ENGINE) -> str:
        """Return the one of a kind that is in the vehicle at first; empty where there is none, or two."""
        return _only([unit.id for unit in self.of_kind(kind) if unit.label != NEW])

    def incoming(self, kind: UnitKind = UnitKind.ENGINE) -> str:
        """Return the one of a kind that is in the vehicle at last; empty where there is none, or two."""
        there = self.of_kind(kind)
        new = [unit.id for unit in there if unit.label == NEW]
        return _only(new or [unit.id for unit in there if unit.label != OLD])

    def of_owner(self, owner: str, *, back: bool = False) -> str:
        """Return the unit that an owner's word names, or `NOT_SAID`.

        Args:
            owner: A unit's id, or such as `vehicle`, `old engine`, `new engine`, `gearbox`, `subframe`.
            back: Whether it is asked for the way back: what belonged to the old engine then belongs to the
                one that comes in, if another does.
        """
        known = self._owned.get((owner, back))
        if known is None:
            known = self._owned[owner, back] = self._read_owner(owner, back=back)
        return known

    @cached_property
    def _owned(self) -> dict[tuple[str, bool], str]:
        return {}

    def _read_owner(self, owner: str, *, back: bool) -> str:
        label, _, word = owner.rpartition(" ")
        kind = self.kind(owner) or next((each for each in UnitKind if each == word), None)
        if kind is None:
            return NOT_SAID
        if kind is UnitKind.VEHICLE:
            return VEHICLE.id
        here = owner if owner in self else self.incoming(kind) if label == NEW else self.outgoing(kind)
        coming = self.incoming(kind)
        return coming if back and here == self.outgoing(kind) and coming else here


def _only(ids: list[str]) -> str:
    return ids[0] if len(ids) == 1 else NOT_SAID


def usual_units(*, new_engine: bool = False, gearbox: bool = True, subframe: bool = False) -> Units:
    """Return the units that most builds have: the engine in it, perhaps another one, what stands beside."""
    engines = (
        (Unit("old", UnitKind.ENGINE, OLD), Unit("new", UnitKind.ENGINE, NEW))
        if new_engine
        else (Unit("engine", UnitKind.ENGINE, RETURNING),)
    )
    beside = (Unit("gearbox", UnitKind.GEARBOX),) * gearbox + (
        Unit("subframe", UnitKind.SUBFRAME),
    ) * subframe
    return Units((VEHICLE, *engines, *beside))
