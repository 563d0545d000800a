"""What a step is for: by its role, and by nothing else, gates and plan tell the lift from other work."""

from collections.abc import Iterable, Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Protocol


class Way(StrEnum):
    """Taking off, or putting back."""

    OFF = "off"
    BACK = "back"


class Role(StrEnum):
    """What a step is for: one role for both ways, since what is lifted out in it is lifted in again in it."""

    NONE = ""
    LIFT = "lift"
    MATING = "mating"
    LANDING = "landing"
    BENCH = "bench"
    JOINTS = "joints"
    BATTERY = "battery"
    DRAIN = "drain"
    FILL = "fill"
    BLEED = "bleed"
    PRIME = "prime"
    FIRST_START = "first_start"
    MOVE = "move"


LIFT_SIGNS = (
    *("engine out", "engine and transmission out", "engine and gearbox out", "engine down", "engine up"),
    *("lift the engine", "lift engine", "lower the engine", "engine in", "remove engine"),
    *("remove the engine", "pull the engine", "pull engine"),
)
_SIGNS: Mapping[Role, tuple[str, ...]] = MappingProxyType(
    {
        Role.LIFT: LIFT_SIGNS,
        Role.MATING: ("bellhousing", "bell housing", "gearbox parted", "transmission parted", "split engine"),
        Role.FIRST_START: ("first start", "start the engine", "start engine"),
    },
)
NEEDED = (Role.LIFT, Role.MATING, Role.FIRST_START)
"""The roles that gates and plan need of a plan that takes an engine out."""

_OF_AN_ENGINE = frozenset({Role.LIFT, Role.MATING, Role.LANDING})
"""Roles that no plan has unless an engine leaves the vehicle."""


class RoleStep(Protocol):
    """A step as far as its role goes."""

    @property
    def id(self) -> str:
        """Its id."""

    @property
    def name(self) -> str:
        """What it is called on the way off, or on the only way that it goes."""

    @property
    def role(self) -> Role:
        """What it is for."""


def steps_with(steps: Iterable[RoleStep], *roles: Role) -> frozenset[str]:
    """Return the ids of the steps that have one of the roles."""
    return frozenset(step.id for step in steps if step.role in roles)


def takes_an_engine_out(steps: Iterable[RoleStep], owners: Iterable[str] = ()) -> bool:
    """Tell whether a plan takes an engine out of its vehicle.

    Args:
        steps: Of the plan.
        owners: To whom its things belong; see `app.core.items.items`.
    """
    known = tuple(steps)
    return (
        any(step.role in _OF_AN_ENGINE or _is_like(step.name, Role.LIFT) for step in known)
        or not {"old engine", "new engine"}.isdisjoint(owners)
    )  # fmt: skip


def missing_roles(steps: Iterable[RoleStep], owners: Iterable[str] = ()) -> tuple[Role, ...]:
    """Return the roles that no step of a plan has and one should: none where no engine is taken out."""
    known = tuple(steps)
    there = {step.role for step in known}
    if not known or not takes_an_engine_out(known, owners):
        return ()
    return tuple(role for role in NEEDED if role not in there)


def likely(steps: Iterable[RoleStep], role: Role) -> str:
    """Return the id of the step that by its name may have a role: offered first, never given."""
    return next((step.id for step in steps if not step.role and _is_like(step.name, role)), "")


def _is_like(name: str, role: Role) -> bool:
    return any(sign in name.casefold() for sign in _SIGNS.get(role, ()))
