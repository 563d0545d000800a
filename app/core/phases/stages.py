"""The stage of each thing on the way back: on the bench, at mating, after landing, before the start."""

import re
from dataclasses import dataclass
from enum import StrEnum

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.phases.routes import Route
from app.core.phases.sides import ON_BEFORE, Sides
from app.core.phases.units import NOT_SAID, UnitKind


class Stage(StrEnum):
    """When a thing goes back. `NOT_SAID`: neither its ends nor its step tell, and nothing is proved."""

    BENCH = "bench"
    BEFORE_MATING = "before_mating"
    MATING = "mating"
    CART = "cart"
    ON_BEFORE = "on_before"
    BEFORE_LANDING = "before_landing"
    AFTER_LANDING = "after_landing"
    VEHICLE = "vehicle"
    FLUIDS = "fluids"
    BEFORE_START = "before_start"
    FIRST_START = "first_start"
    AFTER_START = "after_start"
    FIRST_DRIVE = "first_drive"
    AFTER_DRIVE = "after_drive"
    NOT_SAID = "not_said"


@dataclass(frozen=True, slots=True)
class Placement:
    """A thing's stage, and by what it is told: `ends`, `hidden`, `role`, `owner`, `exception` or the like."""

    stage: Stage
    by: str = ""
    reason: str = ""


HIDDEN = re.compile(
    r"\b(?:dowel|pilot|clutch|flywheel|flexplate|converter|release bearing|release fork|input shaft"
    r"|rear main|rear seal|ring gear|rear plate)"
)
NOT_HIDDEN = re.compile(
    r"\b(?:bellhousing|bell housing|clutch line|clutch fluid|clutch cable|clutch slave|clutch pedal"
    r"|fan clutch|compressor clutch|converter bolt|converter nut|catalytic converter)"
)
"""What mating hides, and what sounds like it (common practice). Converter bolts go in after mating."""
_BEARS = re.compile(r"\b(?:mount|carrier|crossmember)")
"""What takes the weight over from the hook (common practice)."""
_ONLY_FOR_THE_LIFT = re.compile(r"\b(?:prop|lifting eye|lifting bracket|sling|support bar)")
_BY_ROLE = {
    Role.LIFT: Stage.BEFORE_LANDING,
    Role.LANDING: Stage.BEFORE_LANDING,
    Role.MATING: Stage.MATING,
    Role.BENCH: Stage.BENCH,
    Role.JOINTS: Stage.AFTER_LANDING,
    Role.BATTERY: Stage.AFTER_LANDING,
    Role.DRAIN: Stage.BEFORE_START,
    Role.FILL: Stage.FLUIDS,
    Role.BLEED: Stage.FLUIDS,
    Role.PRIME: Stage.BEFORE_START,
    Role.FIRST_START: Stage.FIRST_START,
    Role.MOVE: Stage.FIRST_DRIVE,
}
_OF_A_LIFT = frozenset(
    {Stage.BENCH, Stage.BEFORE_MATING, Stage.MATING, Stage.CART, Stage.ON_BEFORE}
    | {Stage.BEFORE_LANDING, Stage.AFTER_LANDING}
)


def is_hidden_by_mating(item: Item) -> bool:
    """Tell whether something cannot be reached once engine and gearbox are together."""
    said = f"{item.name} {item.type}".casefold()
    return bool(HIDDEN.search(said)) and not NOT_HIDDEN.search(said)


def placement(item: Item, sides: Sides) -> Placement:
    """Return the stage of a thing on the way back.

    Ends and what is tied come first, then the role of its step, then whose it is.
    """
    found = _placed(item, sides)
    if sides.back is Route.NONE and found.stage in _OF_A_LIFT | {Stage.NOT_SAID}:
        return Placement(Stage.VEHICLE, "route")
    exception = sides.exceptions.get(item.id)
    if exception is None or not exception.counts:
        return found
    stage = Stage.ON_BEFORE if exception.what == ON_BEFORE else Stage.AFTER_LANDING
    return Placement(stage, "exception", exception.reason)


def _placed(item: Item, sides: Sides) -> Placement:
    role = sides.role(item)
    if item.kind is Kind.STEP:
        return Placement(_BY_ROLE.get(role, Stage.VEHICLE), "role" if role else "kind")
    if (by_kind := _by_kind(item)) is not None:
        return Placement(by_kind, "kind")
    joined = sides.joined(item, back=True)
    if joins := _by_ends(item, joined, sides):
        return Placement(joins, "ends")
    is_told = role in {Role.MATING, Role.BENCH} or NOT_SAID not in joined
    if item.kind is not Kind.CONNECTION and is_hidden_by_mating(item) and is_told:
        return Placement(Stage.BEFORE_MATING, "hidden")
    return Placement(_BY_ROLE[role], "role") if role in _BY_ROLE else _by_owner(joined, sides)


def _by_kind(item: Item) -> Stage | None:
    """Return the stage of what neither joins nor belongs: a fluid, a finding, what comes out again."""
    if item.kind is Kind.TEMPORARY:
        lifts = _ONLY_FOR_THE_LIFT.search(f"{item.name} {item.type}".casefold())
        return Stage.AFTER_LANDING if lifts else Stage.BEFORE_START
    return {Kind.FLUID: Stage.FLUIDS, Kind.FINDING: Stage.VEHICLE}.get(item.kind)


def _by_ends(item: Item, joined: frozenset[str], sides: Sides) -> Stage | None:
    """Return the stage that follows from what a thing joins; `None` where it does not follow.

    A connection with both ends on one unit is told by them; a part or a group on one unit is not: it may
    have come off for the sake of something else.
    """
    kinds = {sides.units.kind(unit) for unit in joined if unit != NOT_SAID}
    if kinds == {UnitKind.ENGINE, UnitKind.GEARBOX} and sides.back is not Route.NONE:
        return Stage.MATING if NOT_SAID not in joined else None
    seen = sides.kinds(joined, back=True)
    if UnitKind.VEHICLE in seen and len(seen) > 1:
        bears = item.kind is Kind.FASTENER or item.kind is Kind.PART
        mount = _BEARS.search(f"{item.name} {item.type}".casefold())
        is_mount = mount or sides.role(item) in {Role.LIFT, Role.LANDING}
        return Stage.BEFORE_LANDING if bears and is_mount else Stage.AFTER_LANDING
    if NOT_SAID in joined:
        return None
    if UnitKind.SUBFRAME in seen and len(seen) > 1:
        return Stage.CART
    if item.kind is not Kind.CONNECTION:
        return None
    return _single(seen)


def _by_owner(joined: frozenset[str], sides: Sides) -> Placement:
    if NOT_SAID in joined:
        return Placement(Stage.NOT_SAID)
    return Placement(_single(sides.kinds(joined, back=True)), "owner")


def _single(seen: frozenset[UnitKind]) -> Stage:
    if seen == {UnitKind.VEHICLE}:
        return Stage.VEHICLE
    return Stage.CART if seen == {UnitKind.SUBFRAME} else Stage.BENCH
