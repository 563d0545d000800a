"""What is tight before something else is: exhaust and shafts before mounts, the housing before the converter.

Common practice: what pulls at an engine on its mounts settles it on them first, and a converter is drawn to
its plate only once the faces are together.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.phases.sides import Sides
from app.core.phases.stages import Placement, Stage

_PULLS = re.compile(
    r"\b(?:exhausts?|down ?pipes?|front pipes?|mufflers?|silencers?|catalytic"
    r"|(?:half|drive|prop|propeller|axle|cardan)[ -]?shafts?|axle nuts?)\b"
)
_CONVERTER = re.compile(r"\bconverter\b(?! (?:housing|cover|inspection))")
_NO_JOINT = re.compile(r"\b(?:starter|cover|shield|dust plate)\b")
_NO_MOUNT = re.compile(r"\b(?:subframe|sub-frame|cradle|body)\b")
"""What is bolted up before shafts and steering go on, though it bears too."""
_BESIDE = frozenset({Stage.AFTER_LANDING, Stage.VEHICLE, Stage.BEFORE_START})


@dataclass(frozen=True, slots=True)
class Settling:
    """Ids of groups, each pair in two halves.

    Args:
        mounts: Tightened last of all that holds the engine.
        pulls: What pulls at it, tight before the mounts are.
        converters: What holds a converter to its plate, put in after the housing is tight.
        housings: What holds engine and gearbox together.
    """

    mounts: tuple[str, ...] = ()
    pulls: tuple[str, ...] = ()
    converters: tuple[str, ...] = ()
    housings: tuple[str, ...] = ()


NO_SETTLING = Settling()


def settling(
    items: Mapping[str, Item],
    placements: Mapping[str, Placement],
    sides: Sides,
    step_names: Mapping[str, str],
) -> Settling:
    """Return which groups are mounts, which are of the exhaust or a shaft, and which join at the bellhousing.

    Args:
        items: The groups among them are looked at.
        placements: Each thing's stage.
        sides: What the groups hold.
        step_names: What the steps are called: flange nuts recorded in the exhaust's step are the exhaust's.
    """
    groups = [(item, placements[item.id].stage) for item in items.values() if item.kind is Kind.FASTENER]
    bearing = (item for item, stage in groups if stage is Stage.BEFORE_LANDING)
    mounts = tuple(item.id for item in bearing if not _NO_MOUNT.search(item.name.casefold()))
    pulls = (
        item.id
        for item, stage in groups
        if stage in _BESIDE and _PULLS.search(_said(item, sides, step_names))
    )
    joint = [
        (item.id, bool(_CONVERTER.search(item.name.casefold()))) for item, s in groups if _joins(item, s)
    ]
    found = Settling(
        mounts,
        tuple(pulls) if mounts else (),
        tuple(key for key, is_converter in joint if is_converter),
        tuple(key for key, is_converter in joint if not is_converter),
    )
    return found if found.mounts or found.converters else NO_SETTLING


def _joins(item: Item, stage: Stage) -> bool:
    """Tell whether a group is of the joint of engine and gearbox; a starter or a cover is beside it."""
    return stage is Stage.MATING and not _NO_JOINT.search(item.name.casefold())


def _said(item: Item, sides: Sides, step_names: Mapping[str, str]) -> str:
    held = (sides.items[to].name for to in sides.ties.get(item.id, ()))
    return " ".join((item.name, step_names.get(item.step, ""), *held)).casefold()
