"""The roles of steps in words: what each is called, and what goes wrong where no step has one."""

from collections.abc import Mapping
from types import MappingProxyType

from app.core.items.roles import Role

ROLE_CHOICES = (
    (Role.NONE.value, "other work"),
    (Role.LIFT.value, "the lift: engine out, engine in"),
    (Role.MATING.value, "parting and mating engine and gearbox"),
    (Role.LANDING.value, "landing: the weight back on the mounts"),
    (Role.BENCH.value, "work on the bench or stand"),
    (Role.JOINTS.value, "what joins engine and vehicle: wires, hoses, exhaust, shafts"),
    (Role.BATTERY.value, "battery off, battery on"),
    (Role.DRAIN.value, "drain"),
    (Role.FILL.value, "fill"),
    (Role.BLEED.value, "bleed"),
    (Role.PRIME.value, "prime: oil pressure before the start"),
    (Role.FIRST_START.value, "first start"),
    (Role.MOVE.value, "first drive"),
)
"""What a form offers: value and words."""
ROLE_WORDS: Mapping[str, str] = MappingProxyType(dict(ROLE_CHOICES))

_MISSING: Mapping[Role, str] = MappingProxyType(
    {
        Role.LIFT: "No step is marked as the lift: the checks before the lift and before mating cannot tell "
        "what comes before it and what after.",
        Role.MATING: "No step is marked as parting and mating engine and gearbox: the check before mating "
        "cannot tell its bolts from what they hide.",
        Role.FIRST_START: "No step is marked as the first start: nothing can warn beside its button that its "
        "check is still open.",
    },
)


def missing_text(role: Role) -> str:
    """Return what goes wrong while no step has a needed role.

    Raises:
        KeyError: No plan needs the role.
    """
    return _MISSING[role]
