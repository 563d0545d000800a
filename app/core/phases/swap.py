"""What a build is about: how its engine leaves, how one comes back, and which units there are."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from app.core.items.roles import Role
from app.core.phases.registers import Place
from app.core.phases.routes import LEAVES, Route
from app.core.phases.units import Unit, UnitKind, Units, usual_units
from app.core.problem import Problem


@dataclass(frozen=True)
class Swap:
    """The routes of both ways, and the units.

    Args:
        out, back: How the engine leaves, and how one comes back.
        units: Of the build.
        is_said: Somebody chose it; otherwise it is what the plan makes likely, and nothing is certain of it.
        is_asked: Somebody answered whether what seems to have been was so; it is not asked again.
    """

    out: Route
    back: Route
    units: Units
    is_said: bool = True
    is_asked: bool = False

    def stored(self) -> dict[str, Any]:
        """Return the form in which it is stored."""
        known = [
            {"id": u.id, "kind": u.kind.value, "label": u.label, "name": u.name} for u in self.units.known
        ]
        asked = {"asked": True} if self.is_asked else {}
        return {"out": self.out.value, "back": self.back.value, "units": known, **asked}


def read_swap(stored: Mapping[str, Any]) -> Swap | None:
    """Return what was chosen; `None` where nobody chose, or where it cannot be read."""
    try:
        known = tuple(
            Unit(
                str(each["id"]), UnitKind(each["kind"]), str(each.get("label", "")), str(each.get("name", ""))
            )
            for each in stored["units"]
        )
        asked = stored.get("asked") is True
        return Swap(Route(stored["out"]), Route(stored["back"]), Units(known), is_asked=asked)
    except (KeyError, TypeError, ValueError):
        return None


def likely_swap(roles: Iterable[Role], owners: Iterable[str]) -> Swap:
    """Return what the plan makes likely where nobody chose: nothing that follows from it is certain.

    Args:
        roles: Of its steps: without one that lifts no engine leaves.
        owners: Of its things: where one is the new engine's there are two.
    """
    there = set(roles)
    route = Route.ENGINE_UP if Role.LIFT in there else Route.NONE
    units = usual_units(new_engine="new engine" in set(owners), gearbox=Role.MATING in there)
    return Swap(route, route, units, is_said=False)


def chosen_swap(out: Route, back: Route, *, new_engine: bool, gearbox: bool) -> Swap:
    """Return the swap that a few answers make; a subframe is a unit where it leaves with the engine.

    Args:
        out: How the engine leaves.
        back: How one comes back.
        new_engine: Another engine comes back than went out.
        gearbox: There is a gearbox that the engine mates with.
    """
    frame = UnitKind.SUBFRAME in LEAVES[out] | LEAVES[back]
    return Swap(out, back, usual_units(new_engine=new_engine, gearbox=gearbox, subframe=frame))


def change_problem(before: Swap, after: Swap, places: Mapping[str, Place | None]) -> Problem | None:
    """Return why routes or units cannot be changed any more, or `None`.

    Args:
        before: As it was chosen.
        after: As it is to be.
        places: Unit -> where it is by the milestones.
    """
    if not before.is_said:
        return None
    out = before.units.outgoing()
    if before.out is not after.out and places.get(out) is not Place.IN and out:
        return Problem("risen", "The engine is out already: how it left can no longer be changed.", "out")
    coming = before.units.incoming()
    is_in = places.get(coming) is Place.IN and places.get(out) is not Place.IN
    if before.back is not after.back and coming != out and is_in:
        return Problem("in-already", "The engine is in already: the way it came stands.", "back")
    gone = {unit.id for unit in before.units.known} - {unit.id for unit in after.units.known}
    moved = sorted(unit for unit in gone if places.get(unit) not in {None, Place.IN, Place.BENCH})
    if moved:
        return Problem("unit-moved", f"«{moved[0]}» has milestones already: undo those first.", "units")
    return None
