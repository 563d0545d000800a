"""What a page offers first for a thing: to take it further off, what must come before it, or its own act."""

from dataclasses import dataclass

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.kinds import Kind
from app.core.order.graph import ACTS, STATED
from app.core.phases.milestones import APART, TOGETHER
from app.core.phases.next_milestones import waits_for_turn
from app.core.phases.routes import mates_in_vehicle
from app.core.phases.stages import Stage
from app.core.phases.units import NOT_SAID, VEHICLE


@dataclass(frozen=True, slots=True)
class Before:
    """What must come before a thing's next act: another thing, or a milestone by its word."""

    entry: Entry | None = None
    milestone: str = ""


def direction_of(build: Snapshot, item_id: str) -> str:
    """Return whether a thing comes apart now, or goes together.

    What belongs to engines and gearboxes alone goes by theirs: an incoming one is dressed while the vehicle
    still comes apart. All else goes by the vehicle. Where nobody said what the build is about, a thing that
    is off is on its way back.
    """
    item = build.entries[item_id].item
    if item.kind in {Kind.STEP, Kind.FINDING} or not build.swap.is_said:
        return TOGETHER
    if item.kind is Kind.TEMPORARY:  # a cap stays in as long as what joins its opening comes apart
        opened = (build.entries[each].item for each in build.sides.closed.get(item_id, ()))
        closed = {direction_of(build, each.id) for each in opened if each.kind is not Kind.TEMPORARY}
        return APART if APART in closed or not (closed or vehicle_turned(build)) else TOGETHER
    sides, is_out = build.sides, build.phases.has_gone_out
    units = sides.joined(item, back=is_out) - {NOT_SAID}
    if not units and _is_beside_the_vehicle(build, item_id):
        units = frozenset({sides.units.incoming() if is_out else sides.units.outgoing()}) - {NOT_SAID}
    moving = {unit for unit in units if sides.parts_ways(unit) or sides.parts_ways(unit, back=True)}
    if moving and moving == units:
        return APART if {build.phases.direction(unit) for unit in moving} == {APART} else TOGETHER
    return TOGETHER if vehicle_turned(build) else APART


def comes_back_unturned(build: Snapshot, item_id: str) -> bool:
    """Tell whether a thing comes apart only as nobody said that the engine on the stand goes together."""
    engine = build.sides.units.incoming()
    units = build.sides.joined(build.entries[item_id].item, back=True) - {NOT_SAID}
    return (units == {engine} or _is_beside_the_vehicle(build, item_id)) and waits_for_turn(
        build.phases, engine
    )


def _is_beside_the_vehicle(build: Snapshot, item_id: str) -> bool:
    """Tell whether the step of a thing says that it goes back while the engine is out of the vehicle."""
    stage = build.barriers.placements[item_id].stage
    meets = stage is Stage.MATING and not mates_in_vehicle(build.sides.back)
    return meets or stage in {Stage.BENCH, Stage.BEFORE_MATING, Stage.CART}


def is_under_way_back(build: Snapshot) -> bool:
    """Tell whether pages lead to putting back: the vehicle goes together, or nobody said what it is about."""
    return not build.swap.is_said or vehicle_turned(build)


def vehicle_turned(build: Snapshot) -> bool:
    """Tell whether somebody said that the vehicle goes together from here on, or an engine is in again."""
    if build.phases.turned.get(VEHICLE.id):
        return build.phases.turned[VEHICLE.id] == TOGETHER
    return "lift_in" in build.phases.happened()


def before_of(build: Snapshot, item_id: str) -> Before | None:
    """Return what must come before a thing's next act and has not; `None` where nothing must."""
    if blocked := build.blocked_by(item_id):
        return Before(blocked[0])
    if build.cycle:
        return None
    reached = build.order_progress.milestones_ahead(item_id)
    return Before(milestone=reached[0]) if reached else None


def why_before(build: Snapshot, item_id: str, other: str) -> str:
    """Return why another thing must be in before a thing's next act, or nothing for no reason.

    Args:
        build: As it stands.
        item_id: The thing that waits.
        other: The thing that must come first, one of those that block it.
    """
    graph, progress = build.graph, build.order_progress
    ahead = [(progress.next_node[item_id], "")] if item_id in progress.next_node else []
    seen: set[int] = set()
    while ahead:
        at, why = ahead.pop(0)
        for node, said in zip(graph.before[at], graph.why[at], strict=True):
            if node in seen or progress.inside[node]:
                continue
            seen.add(node)
            told = why if why.startswith(STATED) else said or why
            if graph.nodes[node].of == other and graph.nodes[node].what in ACTS:
                return told
            if graph.nodes[node].what not in ACTS:
                ahead.append((node, told))
    return ""
