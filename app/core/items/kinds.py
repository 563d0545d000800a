"""Kinds of things, the acts that happen to them, and which acts close a line."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType


class Kind(StrEnum):
    """What an item is. `STEP` is a step of one direction only, counted in the ledger as a line."""

    CONNECTION = "connection"
    FASTENER = "fastener"
    PART = "part"
    LOCATOR = "locator"
    TEMPORARY = "temporary"
    FLUID = "fluid"
    FINDING = "finding"
    STEP = "step"


ITEM_KINDS = tuple(kind for kind in Kind if kind is not Kind.STEP)


class Act(StrEnum):
    """What happens to an item. Which ones a kind knows stands in `LADDER` and `BESIDE`."""

    OFF = "off"
    LOOSENED = "loosened"
    ASIDE = "aside"
    ALREADY_OFF = "already_off"
    UNUSED = "unused"
    PLACED = "placed"
    HAND_TIGHT = "hand_tight"
    STAGE = "stage"
    TIGHT = "tight"
    SEATED = "seated"
    LATCHED = "latched"
    ROUTED = "routed"
    COUNTED_IN = "counted_in"
    FITTED = "fitted"
    OUT = "out"
    DRAINED = "drained"
    FILLED = "filled"
    BLED = "bled"
    RAISED = "raised"
    DECIDED = "decided"
    DONE = "done"
    CHECKED = "checked"


LADDER: Mapping[Kind, tuple[Act, ...]] = MappingProxyType(
    {
        Kind.CONNECTION: (Act.OFF, Act.SEATED, Act.LATCHED, Act.ROUTED, Act.CHECKED),
        Kind.FASTENER: (Act.OFF, Act.PLACED, Act.HAND_TIGHT, Act.STAGE, Act.TIGHT, Act.CHECKED),
        Kind.PART: (Act.OFF, Act.PLACED, Act.CHECKED),
        Kind.LOCATOR: (Act.OFF, Act.COUNTED_IN, Act.CHECKED),
        Kind.TEMPORARY: (Act.FITTED, Act.OUT),
        Kind.FLUID: (Act.DRAINED, Act.FILLED, Act.BLED, Act.CHECKED),
        Kind.FINDING: (Act.RAISED, Act.DECIDED),
        Kind.STEP: (Act.DONE, Act.CHECKED),
    },
)
"""The rungs from open to closed; the first one opens the line."""

BESIDE: Mapping[Kind, tuple[Act, ...]] = MappingProxyType(
    {
        Kind.CONNECTION: (Act.LOOSENED, Act.ASIDE, Act.ALREADY_OFF, Act.UNUSED),
        Kind.FASTENER: (Act.LOOSENED, Act.ALREADY_OFF, Act.UNUSED),
        Kind.PART: (Act.LOOSENED, Act.ASIDE, Act.ALREADY_OFF, Act.UNUSED),
        Kind.LOCATOR: (Act.ALREADY_OFF, Act.UNUSED),
        Kind.TEMPORARY: (),
        Kind.FLUID: (Act.ALREADY_OFF,),
        Kind.FINDING: (),
        Kind.STEP: (),
    },
)
"""States beside the ladder: open like its first rung (but `unused`, which asks for nothing)."""

CLOSES: Mapping[Kind, Act] = MappingProxyType(
    {
        Kind.CONNECTION: Act.ROUTED,
        Kind.FASTENER: Act.TIGHT,
        Kind.PART: Act.PLACED,
        Kind.LOCATOR: Act.COUNTED_IN,
        Kind.TEMPORARY: Act.OUT,
        Kind.FLUID: Act.BLED,
        Kind.FINDING: Act.DECIDED,
        Kind.STEP: Act.DONE,
    },
)
"""The rung at which a line closes; a critical one needs `checked` after it, where its ladder has that."""

CRITICAL_TYPES = frozenset(
    {"ground strap", "battery cable", "fuel line", "hydraulic line", "brake line", "linkage", "shaft"},
)
"""Types of connection that get a second look unless the owner says otherwise (common practice)."""

CRITICAL_KINDS = frozenset({Kind.FASTENER, Kind.PART, Kind.LOCATOR, Kind.FLUID})
"""Kinds that get a second look where their words speak of one of `CRITICAL_WORDS`."""

CRITICAL_WORDS = (
    *("mount", "brake", "caliper", "steering", "rack", "tie rod", "ball joint", "subframe", "axle", "wheel"),
    *(
        "hub",
        "driveshaft",
        "propshaft",
        "flywheel",
        "flexplate",
        "converter",
        "clutch",
        "pilot",
        "bellhousing",
    ),
    *(
        "fuel",
        "ground",
        "earth",
        "oil drain",
        "drain plug",
        "oil filter",
        "engine oil",
        "oil cooler",
        "throttle",
    ),
)
"""Words of fuel, brakes, steering, mounts, driveline, grounds and oil (common practice)."""


def opening_act(kind: Kind) -> Act:
    """Return the act with which a line of this kind begins."""
    return LADDER[kind][0]


def knows(kind: Kind, act: Act) -> bool:
    """Tell whether things of this kind can have this act."""
    return act in LADDER[kind] or act in BESIDE[kind]


def rung(kind: Kind, act: Act) -> int:
    """Return how far up its ladder an act stands: 0 for the opening act and all states beside it."""
    ladder = LADDER[kind]
    return ladder.index(act) if act in ladder else 0


def rungs(kind: Kind, *, bleeds: bool = True, stages: int = 0) -> tuple[Act, ...]:
    """Return the ladder without the rungs this item has not got.

    Args:
        kind: The kind of the item.
        bleeds: Whether a fluid's system has to be bled; without it, `filled` closes.
        stages: How many tightening stages come before the final one; 0 leaves `stage` out.
    """
    without = set()
    if not bleeds:
        without.add(Act.BLED)
    if not stages:
        without.add(Act.STAGE)
    return tuple(act for act in LADDER[kind] if act not in without)
