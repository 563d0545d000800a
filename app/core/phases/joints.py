"""What still ties an engine to what stays behind, on the way out."""

import re
from dataclasses import dataclass

from app.core.items.items import Connection, Item
from app.core.items.kinds import Act, Kind, rung
from app.core.items.roles import Role
from app.core.items.state import ItemState, PositionState
from app.core.phases.routes import Route, mates_in_vehicle
from app.core.phases.sides import Sides

FREE = frozenset({Act.OFF, Act.ALREADY_OFF, Act.UNUSED})
JOINS, UNKNOWN, PLANNED, ASIDE, CLEAR = "joins", "ends-unknown", "planned", "aside-joined", "aside"
_TIES_BY_ROLE = frozenset({Role.LIFT, Role.LANDING, Role.JOINTS, Role.BATTERY})
_HOLDING = re.compile(r"\b(?:mount|bellhousing|bell housing|subframe|carrier|crossmember)")
_UP_TO_THE_LIFT = frozenset({Kind.CONNECTION, Kind.FASTENER, Kind.PART, Kind.FLUID})


@dataclass(frozen=True, slots=True)
class Tie:
    """Why something keeps an engine from leaving; `code` is empty where it does not.

    Codes: `joins`; `ends-unknown` (nobody said what it ties, nor what its step is for); `planned` (it was
    to come off before the lift); `aside-joined` (tied back, with one end on each side); `aside` (tied back
    within the vehicle: somebody says by name that it is clear).
    """

    code: str = ""
    positions: tuple[int, ...] = ()


def holding_positions(state: ItemState) -> tuple[PositionState, ...]:
    """Return the positions at which something still holds.

    Whatever is not off holds: what was never touched, what is loosened, and what was started, hand-tight or
    tight again. Where people disagree it may hold.
    """
    return tuple(p for p in state.positions if p.act not in FREE and p.piece != "spare")


def tie_of(item: Item, state: ItemState, sides: Sides, *, is_early: bool) -> Tie:
    """Return why a thing keeps an engine from leaving.

    Args:
        item: What.
        state: As it stands.
        sides: Of the build.
        is_early: Whether the plan has its step before the lift.
    """
    if item.kind not in _UP_TO_THE_LIFT or sides.out is Route.NONE:
        return Tie()
    holding = holding_positions(state)
    if isinstance(item.detail, Connection):
        return _tie_of_connection(item, state, sides)
    if any(p.act is Act.ASIDE for p in state.positions):
        return Tie(CLEAR, tuple(p.n for p in state.positions if p.act is Act.ASIDE))
    at = tuple(p.n for p in holding)
    if item.kind is Kind.FASTENER and at:
        return Tie(code, at) if (code := _why_group(item, sides)) else Tie()
    if item.kind is Kind.FLUID:
        at = () if _stays_closed(item, sides) else tuple(p.n for p in state.positions if p.act is None)
    elif _is_on_another(item, sides):
        at = tuple(p.n for p in holding if p.act is None or not rung(item.kind, p.act))
    return Tie(PLANNED, at) if is_early and at else Tie()


def _is_on_another(item: Item, sides: Sides) -> bool:
    """Tell whether something that is on again is on the engine that comes in, not on the one that leaves."""
    before, after = sides.joined(item), sides.joined(item, back=True)
    return not before & after and sides.crosses(before) is False


def _stays_closed(fluid: Item, sides: Sides) -> bool:
    """Tell whether all that is known to close a fluid's circuit stays on one side: it need not be drained."""
    closed = [each for each in sides.by_system.get(fluid.type, ()) if each.id != fluid.id]
    return bool(closed) and all(sides.crosses(sides.joined(each)) is False for each in closed)


def _why_group(item: Item, sides: Sides) -> str:
    crosses = sides.crosses(sides.joined(item))
    if crosses is not None:
        return JOINS if crosses else ""
    if sides.role(item) is Role.NONE:
        return UNKNOWN
    return JOINS if ties_by_role(item, sides) else ""


def ties_by_role(item: Item, sides: Sides) -> bool:
    """Tell whether the role of a thing's step says that it ties what leaves to what stays."""
    role = sides.role(item)
    return role in _TIES_BY_ROLE or (role is Role.MATING and mates_in_vehicle(sides.out))


def _tie_of_connection(item: Item, state: ItemState, sides: Sides) -> Tie:
    """Return why a connection ties, joint by joint: the first end against the end of its position."""
    joints = sides.joints(item)
    by_code: dict[str, list[int]] = {}
    for position in holding_positions(state):
        joint = joints[min(position.n, len(joints)) - 1]
        crosses = sides.crosses(joint)
        if crosses is None and sides.role(item) in {Role.BENCH, Role.FILL, Role.BLEED}:
            crosses = False
        if position.act is Act.ASIDE:
            code = CLEAR if crosses is False else ASIDE if crosses else UNKNOWN
        else:
            code = JOINS if crosses else UNKNOWN if crosses is None else ""
        if code:
            by_code.setdefault(code, []).append(position.n)
    code = next((each for each in (JOINS, ASIDE, UNKNOWN, CLEAR) if each in by_code), "")
    return Tie(code, tuple(by_code.get(code, ())))


def may_hold_at_hook_up(item: Item, sides: Sides) -> bool:
    """Tell whether something may still hold when the hook is on: mounts, the last bolts, carrier bolts."""
    if item.kind is not Kind.FASTENER:
        return False
    role = sides.role(item)
    last = role is Role.MATING and mates_in_vehicle(sides.out)
    return role in {Role.LIFT, Role.LANDING} or last or bool(_HOLDING.search(item.name.casefold()))
