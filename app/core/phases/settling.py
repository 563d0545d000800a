"""What pulls at an engine on its mounts is tight before they are: exhaust and shafts (common practice)."""

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
_BESIDE = frozenset({Stage.AFTER_LANDING, Stage.VEHICLE, Stage.BEFORE_START})


@dataclass(frozen=True, slots=True)
class Settling:
    """Ids of the groups that are tightened last of all that holds the engine, and of what pulls at it."""

    mounts: tuple[str, ...] = ()
    pulls: tuple[str, ...] = ()


NO_SETTLING = Settling()


def settling(
    items: Mapping[str, Item],
    placements: Mapping[str, Placement],
    sides: Sides,
    step_names: Mapping[str, str],
) -> Settling:
    """Return which groups are mounts, and which are of the exhaust or a shaft.

    Args:
        items: The groups among them are looked at.
        placements: Each thing's stage.
        sides: What the groups hold.
        step_names: What the steps are called: flange nuts recorded in the exhaust's step are the exhaust's.
    """
    groups = [item for item in items.values() if item.kind is Kind.FASTENER]
    mounts = tuple(item.id for item in groups if placements[item.id].stage is Stage.BEFORE_LANDING)
    if not mounts:
        return NO_SETTLING
    return Settling(
        mounts,
        tuple(
            item.id
            for item in groups
            if placements[item.id].stage in _BESIDE and _PULLS.search(_said(item, sides, step_names))
        ),
    )


def _said(item: Item, sides: Sides, step_names: Mapping[str, str]) -> str:
    held = (sides.items[to].name for to in sides.ties.get(item.id, ()))
    return " ".join((item.name, step_names.get(item.step, ""), *held)).casefold()
