"""Milestones proposed for a folder that has none: from starts, passes and marks; the owner confirms once."""

from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from app.core.items.items import Item
from app.core.items.kinds import rung
from app.core.items.state import ItemState
from app.core.phases.barriers import Barriers
from app.core.phases.joints import holding_positions
from app.core.phases.milestones import Milestone, Verb
from app.core.phases.routes import LEAVES, Route, mates_in_vehicle
from app.core.phases.sides import Sides
from app.core.phases.stages import Stage
from app.core.phases.units import UnitKind

_AFTER_IT_IS_IN = frozenset({Stage.AFTER_LANDING, Stage.BEFORE_LANDING})


@dataclass(frozen=True, slots=True)
class Proposal:
    """A milestone that seems to have been.

    Args:
        milestone: What.
        because: `start`, `pass`, `marks`, or `follows` where a later one could not have been without it.
        items: Ids of the things whose marks say so.
    """

    milestone: Milestone
    because: str
    items: tuple[str, ...] = ()


def propose_milestones(
    sides: Sides,
    barriers: Barriers,
    lines: Iterable[tuple[Item, ItemState]],
    *,
    passes: AbstractSet[str],
    started: bool,
) -> tuple[Proposal, ...]:
    """Return the milestones that an earlier folder's starts, passes and marks speak of, first to last.

    Args:
        sides: Of the build.
        barriers: The stages of its things.
        lines: Its things as they stand.
        passes: Keys of the gates that were passed: `lift`, `mating`, `start`, `move`.
        started: Whether a start was written down.
    """
    known = tuple(lines)
    if sides.out is Route.NONE and sides.back is Route.NONE:
        return _of_the_vehicle(passes, started=started)
    marks = _marks(sides, barriers, known)
    moves = {
        "lifted": "pass" if "lift" in passes else "marks" if marks["lifted"] else "",
        "mated": "pass" if "mating" in passes else "marks" if marks["mated"] else "",
        "landed": "start" if started else "marks" if marks["landed"] else "",
    }
    if moves["landed"]:
        moves |= {key: moves[key] or "follows" for key in ("lifted", "mated")}
    if moves["mated"]:
        moves["lifted"] = moves["lifted"] or "follows"
    is_in = moves["landed"] or (mates_in_vehicle(sides.back) and moves["mated"] and "follows")
    out, back = _units(sides, back=False), _units(sides, back=True)
    found = [
        Proposal(Milestone(verb, out), moves["lifted"], marks["lifted"])
        for verb in (Verb.RISE, Verb.SET_DOWN)
        if moves["lifted"]
    ]
    inside = [Proposal(Milestone(Verb.LIFT_IN, back), is_in, marks["landed"])] if is_in else []
    pair = frozenset({sides.units.incoming(), sides.units.incoming(UnitKind.GEARBOX)})
    mate = [Proposal(Milestone(Verb.MATING, pair), moves["mated"], marks["mated"])]
    mate *= bool(moves["mated"]) and len(pair - {""}) > 1
    found += [*inside, *mate] if mates_in_vehicle(sides.back) else [*mate, *inside]
    if moves["landed"]:
        found.append(Proposal(Milestone(Verb.LANDED, back), moves["landed"], marks["landed"]))
    return (*found, *_of_the_vehicle(passes, started=started))


def _of_the_vehicle(passes: AbstractSet[str], *, started: bool) -> tuple[Proposal, ...]:
    vehicle = frozenset({"vehicle"})
    start = (Proposal(Milestone(Verb.FIRST_START, vehicle), "start"),) * started
    return (*start, *(Proposal(Milestone(Verb.MOVED, vehicle), "pass"),) * (started and "move" in passes))


def _units(sides: Sides, *, back: bool) -> frozenset[str]:
    """Return the units that leave, or come back, together."""
    kinds = LEAVES[sides.back if back else sides.out]
    one = sides.units.incoming if back else sides.units.outgoing
    return frozenset(unit for kind in kinds if (unit := one(kind)))


def _marks(
    sides: Sides, barriers: Barriers, lines: Iterable[tuple[Item, ItemState]]
) -> Mapping[str, tuple[str, ...]]:
    """Return whose marks say that the engine was out, that it mated, that it is in again.

    While something that ties it was never off, the engine is where it was: what is on again says nothing.
    """
    crossing = [(item, state) for item, state in lines if sides.crosses(sides.joined(item))]
    was_off = [item.id for item, state in crossing if state.off_seq]
    still_on = any(holding_positions(state) and not state.off_seq for _, state in crossing)
    back: dict[str, list[str]] = {"mated": [], "landed": []}
    for item, state in lines:
        stage = barriers.placements[item.id].stage if item.id in barriers.placements else None
        if state.off_seq and any(p.act and rung(item.kind, p.act) > 0 for p in state.positions):
            if stage is Stage.MATING:
                back["mated"].append(item.id)
            elif stage in _AFTER_IT_IS_IN:
                back["landed"].append(item.id)
    if still_on:
        return {"lifted": (), "mated": (), "landed": ()}
    return {"lifted": tuple(was_off), "mated": tuple(back["mated"]), "landed": tuple(back["landed"])}
