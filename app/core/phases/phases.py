"""Where each unit is, folded from milestones: neither clocks nor the order of arrival decide."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from app.core.items.journal import Line
from app.core.phases.milestones import APART, TOGETHER, Event, Told, Verb, read_events
from app.core.phases.registers import (
    DIRECTION,
    HOOK,
    OF_THE_VEHICLE,
    PAIR,
    PLACE,
    TRIAL,
    Place,
    Register,
    at_first,
    writes_of,
)
from app.core.phases.sequence import Untrue, untrue_among, walk
from app.core.phases.units import NEW, OLD, UnitKind, Units
from app.core.problem import Problem


@dataclass(frozen=True, slots=True)
class UnitState:
    """How a unit stands.

    Args:
        place: Where it is; `None` where people disagree.
        on_hook: Whether something else than its mounts carries it; `None` where people disagree.
        round: 1, and one more for each rise after it had been lifted in.
        trial: It is in for a trial fit, which closes nothing.
        left_before_record: It was out before anybody wrote anything down.
        has_left: It has risen in this round, or was never in.
    """

    place: Place | None
    on_hook: bool | None = False
    round: int = 1
    trial: bool = False
    left_before_record: bool = False
    has_left: bool = False

    @property
    def is_away(self) -> bool:
        """Whether it is certainly not in the vehicle."""
        return self.place in {Place.HANGING, Place.BENCH, Place.GONE}


@dataclass(frozen=True, slots=True)
class Dispute:
    """What people who had not seen each other say differently; `lines` are all of theirs."""

    about: Register
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Phases:
    """A build as its milestones have it.

    Args:
        states: By unit, the vehicle left out.
        pairs: Engine and gearbox -> whether they are mated; `None` where people disagree.
        power_on, first_start, moved: Whether it has been, in this round; `None` where people disagree.
        untrue: Milestones that contradict what was told before them.
        problems: Lines that cannot be read.
    """

    units: Units
    states: Mapping[str, UnitState]
    pairs: Mapping[tuple[str, str], bool | None] = field(default_factory=dict)
    power_on: bool | None = False
    first_start: bool | None = False
    moved: bool | None = False
    turned: Mapping[str, str] = field(default_factory=dict)
    disputes: tuple[Dispute, ...] = ()
    untrue: tuple[Untrue, ...] = ()
    events: tuple[Event, ...] = ()
    problems: tuple[Problem, ...] = ()

    def place(self, unit: str) -> Place | None:
        """Return where a unit is; the vehicle is always in."""
        return self.states[unit].place if unit in self.states else Place.IN

    @property
    def round(self) -> int:
        """The round that checks belong to: each rise of an engine that had been lifted in opens one."""
        engines = self.units.of_kind(UnitKind.ENGINE)
        return max((self.states[engine.id].round for engine in engines), default=1)

    @property
    def is_in_again(self) -> bool:
        """Whether an engine is in the vehicle that was out, a trial fit included."""
        engines = (self.states[engine.id] for engine in self.units.of_kind(UnitKind.ENGINE))
        return any(state.has_left and state.place is Place.IN for state in engines)

    @property
    def has_gone_out(self) -> bool:
        """Whether the engine that was in at first has left; true where none was, or nobody knows which."""
        state = self.states.get(self.units.outgoing())
        return state is None or state.has_left or state.place is not Place.IN

    def is_mated(self, engine: str, gearbox: str) -> bool | None:
        """Tell whether an engine and a gearbox are together."""
        return self.pairs.get((engine, gearbox), False)

    def direction(self, unit: str) -> str:
        """Return whether a unit comes apart or goes together."""
        if said := self.turned.get(unit):
            return said
        label = next((each.label for each in self.units.known if each.id == unit), "")
        state = self.states.get(unit)
        if label == NEW:
            return TOGETHER
        if label == OLD or state is None:
            return APART
        return TOGETHER if state.has_left and state.place is Place.IN and not state.trial else APART

    def happened(self) -> frozenset[str]:
        """Return which milestones of the way back hold now; see `app.core.phases.routes.chain`."""
        engine, gearbox = self.units.incoming(), self.units.incoming(UnitKind.GEARBOX)
        state = self.states.get(engine)
        lifted = state is not None and state.has_left and state.place is Place.IN and not state.trial
        found = {
            "mating": bool(self.pairs.get((engine, gearbox))) and bool(state and state.has_left),
            "lift_in": lifted,
            "landed": lifted and state is not None and state.on_hook is False,
            "power_on": bool(self.power_on),
            "first_start": bool(self.first_start),
            "started": bool(self.first_start),
            "moved": bool(self.moved),
        }
        return frozenset(word for word, holds in found.items() if holds)


def fold_phases(units: Units, lines: Iterable[Line]) -> Phases:
    """Return how a build's units stand, from the lines of its own subject, in any order, repeated or not."""
    told = read_events(lines, units)
    order = _in_order(told)
    writes = [writes_of(told.events[at].milestone, units) for at in range(len(told.events))]
    values, disputes = _values(told, writes, units)
    events = tuple(told.events[at] for at in order)
    rounds, has_left = walk(events, units)
    place = {at: nth for nth, at in enumerate(order)}
    untrue = untrue_among(events, [{place[each] for each in told.seen[at]} for at in order], units)
    before = {
        unit
        for event in told.events
        for unit in event.milestone.units
        if event.milestone.before_record and event.milestone.verb in {Verb.RISE, Verb.SET_DOWN, Verb.LEFT}
    }
    movable = [unit for unit in units.known if unit.kind is not UnitKind.VEHICLE]
    states = {
        unit.id: UnitState(
            values[PLACE, unit.id],
            values[HOOK, unit.id],
            rounds[unit.id],
            bool(values[TRIAL, unit.id]),
            unit.id in before,
            has_left[unit.id],
        )
        for unit in movable
    }
    pairs = {(key[1], key[2]): value for key, value in values.items() if key[0] == PAIR}
    turned = {key[1]: value for key, value in values.items() if key[0] == DIRECTION and value}
    power, start, moved = (values[verb.value,] for verb in OF_THE_VEHICLE)
    return Phases(
        units, states, pairs, power, start, moved, turned, disputes, tuple(untrue), events, told.problems
    )


def _in_order(told: Told) -> list[int]:
    """Return the events' places, each after those it had seen; what goes round in a circle comes last."""
    left = dict(enumerate(told.seen))
    order: list[int] = []
    while left:
        free = [at for at, seen in left.items() if not seen & left.keys()] or list(left)
        free.sort(key=lambda at: told.events[at].lines)
        order.append(free[0])
        del left[free[0]]
    return order


def _values(
    told: Told, writes: list[dict[Register, Any]], units: Units
) -> tuple[dict[Register, Any], tuple[Dispute, ...]]:
    values = at_first(units)
    disputes = []
    for about in sorted(values):
        writers = [at for at, each in enumerate(writes) if about in each]
        heads = [at for at in writers if not any(_follows(told, other, at) for other in writers)]
        said = {str(writes[at][about]) for at in heads}
        if len(said) > 1:
            lines = sorted(line for at in heads for line in told.events[at].lines)
            disputes.append(Dispute(about, tuple(lines)))
            values[about] = None
        elif heads:
            values[about] = writes[heads[0]][about]
    return values, tuple(disputes)


def _follows(told: Told, later: int, earlier: int) -> bool:
    """Tell whether one event came after another, and not also before it."""
    return earlier in told.seen[later] and later not in told.seen[earlier]
