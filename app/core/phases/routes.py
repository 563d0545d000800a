"""How an engine leaves and comes back: what leaves with it, and where engine and gearbox meet."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from app.core.phases.units import UnitKind


class Route(StrEnum):
    """Asked once for each way; both ways may differ."""

    NONE = "none"
    ENGINE_UP = "engine_up"
    TOGETHER_UP = "together_up"
    SUBFRAME_DOWN = "subframe_down"
    BODY_OFF = "body_off"
    REAR_DOWN = "rear_down"


_ENGINE, _BOTH = frozenset({UnitKind.ENGINE}), frozenset({UnitKind.ENGINE, UnitKind.GEARBOX})
LEAVES: Mapping[Route, frozenset[UnitKind]] = MappingProxyType(
    {
        Route.NONE: frozenset(),
        Route.ENGINE_UP: _ENGINE,
        Route.TOGETHER_UP: _BOTH,
        Route.SUBFRAME_DOWN: _BOTH | {UnitKind.SUBFRAME},
        Route.BODY_OFF: _BOTH | {UnitKind.SUBFRAME},
        Route.REAR_DOWN: _BOTH,
    },
)
"""What parts from the vehicle on each route. With the body off it is the body that is the vehicle here."""


def mates_in_vehicle(route: Route) -> bool:
    """Tell whether engine and gearbox meet inside the vehicle, because the gearbox stays there."""
    return route is Route.ENGINE_UP


def chain(route: Route, *, gearbox: bool, power: bool, start: bool, move: bool) -> tuple[str, ...]:
    """Return the milestones of the way back that bound the work, in their order.

    `first_start` stands before the key is turned, `started` after it.

    Args:
        route: Of the way back.
        gearbox: Whether engine and gearbox meet.
        power: Whether the plan has a step for the battery.
        start: Whether it has one for the first start.
        move: Whether it has one for the first drive.
    """
    meet = ("mating",) * gearbox
    lift = ("lift_in", *meet) if mates_in_vehicle(route) else (*meet, "lift_in")
    engine = () if route is Route.NONE else (*lift, "landed")
    return (*engine, *("power_on",) * power, *("first_start", "started") * start, *("moved",) * move)
