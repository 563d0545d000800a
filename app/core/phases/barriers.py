"""What must be done before, and what after, each milestone of the way back."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.phases.routes import Route, chain, mates_in_vehicle
from app.core.phases.settling import NO_SETTLING, Settling, settling
from app.core.phases.sides import Sides
from app.core.phases.stages import Placement, Stage, placement, told
from app.core.phases.units import UnitKind

PLACED, WORKED, LOOKED = "placed", "worked", "looked"
"""What of a thing is bounded: that it is in position, that its work is done, its second look too."""

_BY_STEPS = frozenset({"started"})
"""What the plan has after the start may be done before it: the order of the steps holds nothing back."""
_FIRM = frozenset({"ends", "exception", "kind"})
_OF_MOUNTS = frozenset({(PLACED, "mating", False), (WORKED, "landed", False)})
"""The engine hangs while it mates, and its mounts are tightened once they carry it (common practice)."""


class Barrier(NamedTuple):
    """One bound of a thing.

    Args:
        what: `PLACED`, `WORKED` or `LOOKED`.
        milestone: A word of `app.core.phases.routes.chain`.
        is_before: Whether the thing comes before the milestone; otherwise it comes after.
        is_firm: It follows from tied ends or a stated exception; one that follows from the role of a step or
            from an owner yields to what is stated.
    """

    what: str
    milestone: str
    is_before: bool
    is_firm: bool = True


@dataclass(frozen=True, slots=True)
class Barriers:
    """All that milestones say of the order.

    Args:
        milestones: Those of the way back, first to last.
        placements: Each thing's stage.
        bounds: Of each thing; empty where nothing bounds it.
        unsaid: Ids of things of which nothing tells the stage: of what they bear on nothing is proved.
        settling: What is tightened last of all that holds the engine, and what before it.
    """

    milestones: tuple[str, ...]
    placements: Mapping[str, Placement]
    bounds: Mapping[str, tuple[Barrier, ...]]
    unsaid: tuple[str, ...] = ()
    settling: Settling = NO_SETTLING


def barriers(
    items: Iterable[Item],
    sides: Sides,
    positions: Mapping[str, int],
    step_names: Mapping[str, str] = MappingProxyType({}),
) -> Barriers:
    """Return the stage of each thing and what follows from it.

    Barriers exist only for what the plan has: a build without an engine removal has no lift and no mating,
    and without a step for the first start nothing is bounded by it.

    Args:
        items: The things of the plan, steps of the way back among them.
        sides: What their sides follow from.
        positions: Step -> its place in the order of taking off.
        step_names: What the steps are called, lower or upper case.
    """
    known = tuple(items)
    roles = set(sides.roles.values())
    meets = sides.back is not Route.NONE and bool(sides.units.of_kind(UnitKind.GEARBOX))
    milestones = chain(
        sides.back,
        gearbox=meets,
        power=Role.BATTERY in roles,
        start=Role.FIRST_START in roles,
        move=Role.MOVE in roles,
    )
    late = _late(sides, positions)
    placements = {item.id: _timed(item, placement(item, sides), positions, late) for item in known}
    there = frozenset(milestones)
    bounded = {item.id: _bounds_of(*placements[item.id][:2], item.kind, sides.back, there) for item in known}
    unsaid = tuple(key for key, each in placements.items() if each.stage is Stage.NOT_SAID)
    last = settling({item.id: item for item in known}, placements, sides, step_names)
    return Barriers(milestones, placements, bounded, unsaid, last)


@cache
def _bounds_of(
    stage: Stage, by: str, kind: Kind, route: Route, milestones: frozenset[str]
) -> tuple[Barrier, ...]:
    """Return what bounds things that are placed alike, by the milestones that there are.

    When a mount is fitted, and when it is tightened, is a default.
    """
    mounts = _OF_MOUNTS if stage is Stage.BEFORE_LANDING else frozenset()
    passed_over = _BY_STEPS if by == "step" else frozenset()
    return tuple(
        Barrier(*bound, by in _FIRM and bound not in mounts)
        for bound in bounds(stage, kind, route)
        if bound[1] in milestones - passed_over
    )


def _late(sides: Sides, positions: Mapping[str, int]) -> tuple[tuple[int, Stage], ...]:
    """Return the places of first drive and first start, with what comes after each on the way back."""
    found = []
    for role, stage in ((Role.MOVE, Stage.AFTER_DRIVE), (Role.FIRST_START, Stage.AFTER_START)):
        at = [positions[step] for step, own in sides.roles.items() if own is role and step in positions]
        found += [(place, stage) for place in sorted(at)[:1]]
    return tuple(found)


def _timed(
    item: Item, found: Placement, positions: Mapping[str, int], late: tuple[tuple[int, Stage], ...]
) -> Placement:
    """Return a placement, later where the plan has it after first start or drive; things are on by then."""
    if found.stage is not Stage.VEHICLE or item.kind is Kind.FINDING:
        return found
    step = item.id if item.kind is Kind.STEP else item.step
    if step not in positions:
        return found
    known = [stage for at, stage in late if positions[step] < at]
    if item.kind is not Kind.STEP:
        known = [stage for stage in known if stage is not Stage.AFTER_DRIVE]
    stage = known[0] if known else found.stage
    return told(stage, "step") if stage is not found.stage else found


_NEVER_BOUND = frozenset({Stage.FIRST_START, Stage.FIRST_DRIVE, Stage.AFTER_DRIVE})


def bounds(stage: Stage, kind: Kind, route: Route) -> tuple[tuple[str, str, bool], ...]:
    """Return what bounds a thing of a stage: what of it, by which milestone, whether before it."""
    after_mating = "landed" if mates_in_vehicle(route) else "lift_in"
    reach = ((LOOKED, "lift_in", True),) * mates_in_vehicle(route)  # no hand gets there once it is in
    hangs = ((PLACED, "mating", False),) * mates_in_vehicle(route)
    tightens = ((WORKED, "landed", False),) * (kind is Kind.FASTENER)
    own: Mapping[Stage, tuple[tuple[str, str, bool], ...]] = {
        Stage.BENCH: ((LOOKED, "lift_in", True),),
        Stage.BEFORE_MATING: ((LOOKED, "mating", True), *reach),
        Stage.MATING: ((PLACED, "mating", False), (LOOKED, after_mating, True)),
        Stage.CART: ((LOOKED, "lift_in", True),),
        Stage.ON_BEFORE: ((PLACED, "lift_in", True),),
        Stage.BEFORE_LANDING: ((PLACED, "lift_in", False), *hangs, (PLACED, "landed", True), *tightens),
        Stage.AFTER_LANDING: ((PLACED, "landed", False),),
        Stage.AFTER_START: ((PLACED, "started", False),),
        Stage.FLUIDS: ((PLACED, "first_start", True),),
        Stage.FIRST_START: ((PLACED, "first_start", False), (PLACED, "started", True)),
        Stage.FIRST_DRIVE: ((PLACED, "moved", False),),
        Stage.AFTER_DRIVE: ((PLACED, "moved", False),),
    }
    found = own.get(stage, ())
    if stage in _NEVER_BOUND:
        return found
    found = (*found, (WORKED, "moved", True))
    if stage is Stage.AFTER_START:
        return found
    joins = kind is Kind.CONNECTION or stage is Stage.AFTER_LANDING
    power = ((PLACED, "power_on", True),) * joins  # the battery is the last of the connecting
    return (*found, *power, *(() if stage is Stage.FLUIDS else ((WORKED, "first_start", True),)))
