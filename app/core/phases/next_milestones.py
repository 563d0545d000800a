"""Which milestone comes next on a build's routes, and which others could be told."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.core.phases.milestones import APART, TOGETHER, Verb
from app.core.phases.phases import Phases, UnitState
from app.core.phases.registers import Place
from app.core.phases.routes import LEAVES, Route, mates_in_vehicle
from app.core.phases.swap import Swap
from app.core.phases.units import NEW, Unit, UnitKind


@dataclass(frozen=True, slots=True)
class Offer:
    """A milestone that may be told.

    Args:
        verb: What.
        units: Ids of the units that it happens to.
        gate: The key of the gate before it; empty where none stands there.
        to: The direction, with `TURN`.
        before_record: It was so before anybody wrote anything down.
        trial: A lift-in that closes nothing.
    """

    verb: Verb
    units: tuple[str, ...]
    gate: str = ""
    to: str = ""
    before_record: bool = False
    trial: bool = False


def next_milestone(swap: Swap, phases: Phases) -> Offer | None:
    """Return the milestone that comes next; `None` where people disagree, or all has been."""
    if phases.disputes:
        return None
    if swap.out is not Route.NONE and (offer := _out(swap, phases)):
        return offer
    engine = swap.units.incoming()
    if swap.back is not Route.NONE and waits_for_turn(phases, engine):
        return Offer(Verb.TURN, (engine,), to=TOGETHER)
    if swap.back is not Route.NONE and (offer := _back(swap, phases)):
        return offer
    if not phases.first_start:
        return Offer(Verb.FIRST_START, ("vehicle",), "start")
    return None if phases.moved else Offer(Verb.MOVED, ("vehicle",), "move")


def _out(swap: Swap, phases: Phases) -> Offer | None:
    engine = swap.units.outgoing()
    state = phases.states.get(engine)
    if state is None:
        return None
    units = leaving(swap)
    if state.place is Place.IN and not state.has_left:
        return Offer(Verb.RISE, units, "lift") if state.on_hook else Offer(Verb.HOOK_UP, units, "hook_up")
    return Offer(Verb.SET_DOWN, units) if state.place is Place.HANGING else None


def _back(swap: Swap, phases: Phases) -> Offer | None:
    engine, box = swap.units.incoming(), swap.units.incoming(UnitKind.GEARBOX)
    state = phases.states.get(engine)
    if state is None:
        return None
    pair = (engine, box) if box else ()
    apart = bool(box) and not phases.is_mated(engine, box)
    if state.place is not Place.IN:
        if box and mates_in_vehicle(swap.back) and phases.place(box) is not Place.IN:
            return Offer(Verb.LIFT_IN, (box,))
        if apart and not mates_in_vehicle(swap.back):
            return Offer(Verb.MATING, pair, "mating")
        return Offer(Verb.LIFT_IN, coming(swap), "lift_in")
    if apart:
        return Offer(Verb.MATING, pair, "mating")
    carried = {*coming(swap), *(unit for unit in pair if phases.states[unit].on_hook)}
    return Offer(Verb.LANDED, tuple(sorted(carried)), "landing") if state.on_hook else None


def waits_for_turn(phases: Phases, unit: str) -> bool:
    """Tell whether an engine that comes back itself is out, and nobody said that it goes together by now.

    Whether it is still being stripped or already being built nothing else tells.
    """
    comes_back = unit == phases.units.outgoing() == phases.units.incoming()
    return comes_back and phases.place(unit) is Place.BENCH and phases.direction(unit) == APART


def leaving(swap: Swap) -> tuple[str, ...]:
    """Return the units that leave together."""
    return tuple(sorted(unit for kind in LEAVES[swap.out] if (unit := swap.units.outgoing(kind))))


def coming(swap: Swap) -> tuple[str, ...]:
    """Return the units that come back together."""
    return tuple(sorted(unit for kind in LEAVES[swap.back] if (unit := swap.units.incoming(kind))))


def other_milestones(swap: Swap, phases: Phases) -> tuple[Offer, ...]:
    """Return what else may have happened, the likelier first; what comes next is not among it."""
    following = next_milestone(swap, phases)
    found = dict.fromkeys(each for each in _others(swap, phases) if each != following)
    return tuple(found)


def _others(swap: Swap, phases: Phases) -> Iterator[Offer]:
    out, units = swap.units.outgoing(), leaving(swap)
    state = phases.states.get(out)
    if swap.out is not Route.NONE and state and not state.has_left:
        yield Offer(Verb.SET_DOWN, units, before_record=True)
    coming_state = phases.states.get(swap.units.incoming())
    if swap.back is not Route.NONE and coming_state and coming_state.place is not Place.IN:
        yield Offer(Verb.LIFT_IN, coming(swap), "lift_in", trial=True)
        yield Offer(Verb.LIFT_IN, coming(swap), "lift_in")
    for unit in swap.units.known:
        if (here := phases.states.get(unit.id)) is not None:
            yield from _moves(unit, here)
    for (engine, box), mated in phases.pairs.items():
        if mated is not None and Place.GONE not in {phases.place(engine), phases.place(box)}:
            gate = "" if mated else "mating"
            yield Offer(Verb.PARTING if mated else Verb.MATING, (engine, box), gate)
    for unit in swap.units.known:
        to = APART if phases.direction(unit.id) == TOGETHER else TOGETHER
        yield Offer(Verb.TURN, (unit.id,), to=to)


def _moves(unit: Unit, here: UnitState) -> Iterator[Offer]:
    """Yield how a unit may have moved from where it is."""
    if here.place is Place.IN and here.has_left:
        if here.on_hook is False:
            yield Offer(Verb.HOOK_UP, (unit.id,), "hook_up")
        yield Offer(Verb.RISE, (unit.id,), "lift")
    if here.place is Place.HANGING:
        yield Offer(Verb.SET_DOWN, (unit.id,))
    if here.place is Place.BENCH and unit.kind is UnitKind.ENGINE and unit.label != NEW:
        yield Offer(Verb.LEFT, (unit.id,))
