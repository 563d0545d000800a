"""The stage of each thing on the way back: on the bench, at mating, after landing, before the start."""

import re
from enum import StrEnum
from functools import cache
from typing import NamedTuple

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.phases.routes import LEAVES, Route, mates_in_vehicle
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


class Placement(NamedTuple):
    """A thing's stage, and by what it is told: `ends`, `hidden`, `role`, `owner`, `exception` or the like."""

    stage: Stage
    by: str = ""
    reason: str = ""


HIDDEN = re.compile(
    r"\b(?:dowel|pilot|spigot (?:bush|bearing)|clutch|flywheel|flexplate|converter|input shaft|ring gear"
    r"|(?:release|throw ?-?out) bearing|release fork|pressure plate|driven plate|friction (?:plate|disc|disk)"
    r"|rear main|rear (?:oil |crank ?(?:shaft )?(?:oil )?)?seal|rear (?:end |engine )?plate)"
)
NOT_HIDDEN = re.compile(
    r"\b(?:(?:bellhousing|bell housing|clutch housing|converter housing)(?! dowel)"
    r"|clutch release cylinder|fan and clutch|clutch line|clutch fluid|clutch cable|clutch slave|clutch pedal"
    r"|fan clutch|compressor clutch|converter bolt|converter nut|catalytic converter"
    r"|(?:flywheel|flexplate|converter) (?:inspection )?cover)"
)
"""What mating hides, and what sounds like it (common practice). Converter bolts go in after mating."""
_AFTER_THE_FACES = re.compile(r"\b(?:starter|inspection cover|(?:flywheel|flexplate|converter) cover)")
"""What comes off with the bellhousing bolts and waits for no joint of theirs (common practice)."""
_BEARS = re.compile(r"\b(?:mount|carrier|crossmember)")
"""What takes the weight over from the hook (common practice)."""
_ONLY_FOR_THE_LIFT = re.compile(
    r"^(?!.*\bconverter).*\b(?:prop|lifting eye|lifting bracket|sling|support bar|strap)\b"
)
"""What carries or holds aside while an engine is out; a converter's strap comes off before mating."""
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
_BY_KIND = {Kind.FLUID: Stage.FLUIDS, Kind.FINDING: Stage.VEHICLE}
_OF_A_LIFT = frozenset(
    {Stage.BENCH, Stage.BEFORE_MATING, Stage.MATING, Stage.CART, Stage.ON_BEFORE}
    | {Stage.BEFORE_LANDING, Stage.AFTER_LANDING, Stage.NOT_SAID}
)


@cache
def told(stage: Stage, by: str = "") -> Placement:
    """Return a placement without words of its own: things that are told alike share one."""
    return Placement(stage, by)


def is_hidden_by_mating(item: Item) -> bool:
    """Tell whether something cannot be reached once engine and gearbox are together."""
    said = _said(item)
    return bool(HIDDEN.search(said)) and not NOT_HIDDEN.search(said)


def _said(item: Item) -> str:
    return f"{item.name} {item.type}".casefold()


def placement(item: Item, sides: Sides) -> Placement:
    """Return the stage of a thing on the way back.

    Ends and what is tied come first, then the role of its step, then whose it is.
    """
    found = _placed(item, sides)
    if sides.back is Route.NONE and found.stage in _OF_A_LIFT:
        return told(Stage.VEHICLE, "route")
    exception = sides.exceptions.get(item.id)
    if exception is None or not exception.counts:
        return found
    stage = Stage.ON_BEFORE if exception.what == ON_BEFORE else Stage.AFTER_LANDING
    return Placement(stage, "exception", exception.reason)


def _placed(item: Item, sides: Sides) -> Placement:
    role = sides.role(item)
    if item.kind is Kind.STEP:
        return Placement(_BY_ROLE.get(role, Stage.VEHICLE), "role" if role else "kind")
    if (by_kind := _by_kind(item, sides)) is not None:
        return told(by_kind, "kind")
    joined = sides.joined(item, back=True)
    if joins := _by_ends(item, joined, sides):
        return told(joins, "ends")
    is_told = role is Role.MATING or role is Role.BENCH or NOT_SAID not in joined
    if is_told and item.kind is not Kind.CONNECTION and is_hidden_by_mating(item):
        return told(Stage.BEFORE_MATING, "hidden")
    return _by_step(item, role, joined, sides) or _by_owner(joined, sides)


def _by_step(item: Item, role: Role, joined: frozenset[str], sides: Sides) -> Placement | None:
    """Return the stage that the role of its step tells; `None` where that tells nothing."""
    if role is Role.JOINTS and _leaves_whole(joined, sides):
        return told(Stage.BEFORE_START, "owner")
    if role is Role.MATING and mates_in_vehicle(sides.back) and _AFTER_THE_FACES.search(_said(item)):
        return told(Stage.AFTER_LANDING, "kind")
    return told(_BY_ROLE[role], "role") if role in _BY_ROLE else None


def _leaves_whole(joined: frozenset[str], sides: Sides) -> bool:
    """Tell whether all that something belongs to or holds leaves the vehicle as one.

    It came off for the sake of a joint, and may go back on the bench or later: no milestone bounds it.
    """
    kinds = sides.kinds(joined, back=True)
    return NOT_SAID not in joined and len(kinds) == 1 and kinds <= LEAVES[sides.back]


def _by_kind(item: Item, sides: Sides) -> Stage | None:
    """Return the stage of what neither joins nor belongs: a fluid, a finding, what comes out again.

    A cap stays in until what is joined to its opening can be.
    """
    if item.kind is Kind.TEMPORARY:
        closed = [sides.items[to] for to in sides.closed.get(item.id, ())]
        late = closed and all(_placed(each, sides).stage is Stage.AFTER_LANDING for each in closed)
        return Stage.AFTER_LANDING if late or _ONLY_FOR_THE_LIFT.search(_said(item)) else Stage.BEFORE_START
    return _BY_KIND.get(item.kind)


def _by_ends(item: Item, joined: frozenset[str], sides: Sides) -> Stage | None:
    """Return the stage that follows from what a thing joins; `None` where it does not follow.

    A connection with both ends on one unit is told by them; a part or a group on one unit is not: it may
    have come off for the sake of something else.
    """
    if len(joined) > 1 and (stage := _between(item, joined, sides)):
        return stage
    if NOT_SAID in joined or item.kind is not Kind.CONNECTION:
        return None
    return _single(sides.kinds(joined, back=True))


def _between(item: Item, joined: frozenset[str], sides: Sides) -> Stage | None:
    """Return the stage of what joins several units; `None` where they are not all said, or go as one."""
    kinds = {sides.units.kind(unit) for unit in joined if unit != NOT_SAID}
    if kinds == {UnitKind.ENGINE, UnitKind.GEARBOX} and sides.back is not Route.NONE:
        return Stage.MATING if NOT_SAID not in joined else None
    seen = sides.kinds(joined, back=True)
    if UnitKind.VEHICLE in seen and len(seen) > 1:
        bears = item.kind is Kind.FASTENER or item.kind is Kind.PART
        mount = _BEARS.search(_said(item))
        is_mount = mount or sides.role(item) in {Role.LIFT, Role.LANDING}
        return Stage.BEFORE_LANDING if bears and is_mount else Stage.AFTER_LANDING
    is_carried = NOT_SAID not in joined and UnitKind.SUBFRAME in seen and len(seen) > 1
    return Stage.CART if is_carried else None


def _by_owner(joined: frozenset[str], sides: Sides) -> Placement:
    if NOT_SAID in joined:
        return told(Stage.NOT_SAID)
    return told(_single(sides.kinds(joined, back=True)), "owner")


def _single(seen: frozenset[UnitKind]) -> Stage:
    if seen == {UnitKind.VEHICLE}:
        return Stage.VEHICLE
    return Stage.CART if seen == {UnitKind.SUBFRAME} else Stage.BENCH
