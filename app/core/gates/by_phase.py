"""What each gate looks at: only what must be done before its act, as the milestones have it."""

from collections.abc import Callable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import Generic

from app.core.gates.answered import LedgerAnswer, answered_by_ledger, asked_of_people
from app.core.gates.departures import Departure, departures
from app.core.gates.facts import BuildFacts
from app.core.gates.gates import Gate
from app.core.gates.measured import Question
from app.core.items.kinds import Act, Kind, rung
from app.core.ledger.ledger import L, LedgerLine, has_begun, is_settled, is_unused, work_act
from app.core.phases.joints import ASIDE, CLEAR, may_hold_at_hook_up, tie_of
from app.core.phases.phases import Dispute
from app.core.phases.registers import HOOK, PAIR, PLACE
from app.core.phases.routes import Route, mates_in_vehicle
from app.core.phases.sequence import Untrue
from app.core.phases.stages import Stage

HOOK_UP, LIFT, MATING, LIFT_IN, LANDING, TRIAL, START, MOVE = (
    *("hook_up", "lift", "mating", "lift_in", "landing", "trial", "start", "move"),
)
GATES = (HOOK_UP, LIFT, MATING, LIFT_IN, LANDING, TRIAL, START, MOVE)
"""Keys of the gates by phase; `lift` is the one before it rises."""

_RUNS = frozenset({TRIAL, START, MOVE})
_NOT_YET = frozenset({Stage.FIRST_START, Stage.AFTER_START, Stage.FIRST_DRIVE, Stage.AFTER_DRIVE})
_AFTER_ALL = frozenset({Stage.FIRST_DRIVE, Stage.AFTER_DRIVE})


@dataclass(frozen=True, slots=True)
class OpenLine(Generic[L]):
    """A line that keeps a gate shut.

    `why` is a code of `app.core.phases.joints.Tie`, or `open`, `not-said`, `not-placed`, `finding`.
    """

    line: L
    why: str


@dataclass(frozen=True, slots=True)
class GateLook(Generic[L]):
    """What a gate sees.

    Args:
        lines: What keeps it shut.
        asked: Questions for people.
        answered: What the ledger answers; those that it answers with no keep the gate shut.
        departures: Critical things that do not go back as they came off, and who has yet to accept that.
        missing: Milestones that must have been before this gate.
        disputes: Milestones of which people say different things.
        untrue: Milestones that cannot have been.
    """

    lines: tuple[OpenLine[L], ...]
    asked: tuple[Question, ...]
    answered: tuple[LedgerAnswer, ...]
    departures: tuple[Departure, ...]
    missing: tuple[str, ...] = ()
    disputes: tuple[Dispute, ...] = ()
    untrue: tuple[Untrue, ...] = ()

    @property
    def is_clear(self) -> bool:
        """Whether nothing but its questions keeps it shut."""
        shut = any(not each.is_yes for each in self.answered) or any(each.missing for each in self.departures)
        return not (self.lines or shut or self.missing or self.disputes or self.untrue)


def lines_for(gate: Gate, facts: BuildFacts[L]) -> GateLook[L]:
    """Return what a gate sees of a build.

    Raises:
        KeyError: The gate's key is not one of `GATES`.
    """
    why = _WHY[gate.key]
    found = facts.kept.codes(gate.key, facts.basis, facts.lines, lambda line: why(line, facts))
    lines = tuple(OpenLine(line, code) for line, code in found if code)
    answered = answered_by_ledger(gate, facts)
    known = {answer.question for answer in answered}
    runs = gate.key in _RUNS
    return GateLook(
        lines,
        asked_of_people(gate, facts, known),
        answered,
        tuple(each for each in departures(facts) if runs or _is_before(gate.key, each.item, facts)),
        _missing(gate.key, facts),
        tuple(each for each in facts.phases.disputes if runs or each.about[0] in {PLACE, HOOK, PAIR}),
        facts.phases.untrue,
    )


def _missing(key: str, facts: BuildFacts[L]) -> tuple[str, ...]:
    """Return the milestones that must have been before a gate and are not."""
    route = facts.sides.back
    if route is Route.NONE:
        wanted: tuple[str, ...] = ("first_start",) if key == MOVE else ()
    elif mates_in_vehicle(route):
        wanted = {MATING: ("lift_in",), LANDING: ("lift_in", "mating")}.get(key, ())
    else:
        wanted = {LIFT_IN: ("mating",), LANDING: ("lift_in", "mating")}.get(key, ())
    if key in _RUNS and route is not Route.NONE:
        wanted = ("lift_in", "mating", "landed", *("first_start",) * (key == MOVE))
    happened = facts.phases.happened()
    bounded = {*facts.barriers.milestones, "first_start"} if key == MOVE else set(facts.barriers.milestones)
    states = facts.phases.states.values()
    is_due = not any(state.on_hook for state in states) and _is_any_in(facts)
    hooked = ("hook_up",) * (key == LIFT and facts.sides.out is not Route.NONE and is_due)
    return (*hooked, *(each for each in wanted if each in bounded and each not in happened))


def _is_any_in(facts: BuildFacts[L]) -> bool:
    """Tell whether an engine may be in the vehicle: while none is nothing hooks it up."""
    out = facts.phases.states.get(facts.sides.units.outgoing())
    return out is None or not out.is_away or facts.phases.is_in_again


def _is_before(key: str, item: str, facts: BuildFacts[L]) -> bool:
    stage = facts.stage(item)
    return stage in _STAGES.get(key, frozenset()) if stage else False


def _why_tied(line: LedgerLine, facts: BuildFacts[L]) -> str:
    """Return why something keeps the engine from rising."""
    tie = tie_of(line.item, line.state, facts.sides, is_early=facts.is_early(line.item))
    if tie.code == CLEAR:
        return "" if facts.is_seen_clear(line) else CLEAR
    if tie.code or line.item.id not in facts.found:
        return tie.code
    crosses = facts.sides.crosses(facts.sides.joined(line.item))
    return "" if crosses is False else "finding"


def _why_at_hook_up(line: LedgerLine, facts: BuildFacts[L]) -> str:
    why = _why_tied(line, facts)
    return "" if why and why not in {ASIDE, CLEAR} and may_hold_at_hook_up(line.item, facts.sides) else why


def _why_staged(key: str) -> Callable[[LedgerLine, BuildFacts[L]], str]:
    """Return what tells why an open line keeps a gate shut that looks at some stages."""

    def why(line: LedgerLine, facts: BuildFacts[L]) -> str:
        stage = facts.stage(line.item.id)
        if stage is Stage.NOT_SAID:
            return "not-said" if line.reasons else ""
        if stage not in _stages(key, facts):
            return ""
        waits = (
            line.item.id in facts.deferred and stage is not Stage.BEFORE_MATING
        )  # no hand gets there later
        if stage is Stage.ON_BEFORE or waits:
            return _why_unplaced(line, facts.found)
        return _why_open(line, facts)

    return why


def _stages(key: str, facts: BuildFacts[L]) -> frozenset[Stage]:
    """Return the stages that come before a gate; what meets in the vehicle has not met before the lift-in."""
    stages = _STAGES[key]
    return stages - {Stage.MATING} if key == LIFT_IN and mates_in_vehicle(facts.sides.back) else stages


def _why_open(line: LedgerLine, facts: BuildFacts[L]) -> str:
    return "finding" if line.item.id in facts.found else "open" if line.reasons else ""


def _why_at_landing(line: LedgerLine, facts: BuildFacts[L]) -> str:
    """Return why the weight cannot be handed back: mounts are on, if only started; the rest is finished."""
    stage = facts.stage(line.item.id)
    if stage is Stage.NOT_SAID:
        return "not-said" if line.reasons else ""
    if stage is Stage.MATING and mates_in_vehicle(facts.sides.back):
        return _why_open(line, facts)
    if stage is not Stage.BEFORE_LANDING:
        return ""
    return _why_unplaced(line, facts.disturbed)


def _why_unplaced(line: LedgerLine, found: AbstractSet[str]) -> str:
    """Return why something is not in position yet, whatever of its work is still to come."""
    item, state = line.item, line.state
    if item.id in found:
        return "finding"
    if not has_begun(state) or is_unused(state) or is_settled(item, state):
        return ""
    return "" if all(p.piece == "spare" or _at(item.kind, p.act) for p in state.positions) else "not-placed"


def _at(kind: Kind, act: Act | None) -> int:
    """Return how far up its ladder a position is; what disagrees is nowhere, what never came off is in."""
    return 0 if act is None else rung(kind, act)


def _why_to_run(line: LedgerLine, facts: BuildFacts[L]) -> str:
    """Return why the engine is not started: all that does not wait for the start itself."""
    stage = facts.stage(line.item.id)
    if stage in _NOT_YET:
        return ""
    if stage is Stage.FLUIDS and line.item.kind is Kind.FLUID and line.item.id not in facts.found:
        return "open" if line.reasons and not _is_enough_to_start(line) else ""
    return _why_open(line, facts)


def _is_enough_to_start(line: LedgerLine) -> bool:
    """Tell whether a fluid is in, though it is bled and its level seen only after the start."""
    filled = rung(Kind.FLUID, Act.FILLED)
    in_it = all(not p.disagree and p.act and rung(Kind.FLUID, p.act) >= filled for p in line.state.positions)
    waits = {reason.code for reason in line.reasons} <= {"filled"}
    return in_it and waits and work_act(line.item) is Act.BLED


def _why_at_trial(line: LedgerLine, facts: BuildFacts[L]) -> str:
    return "" if line.item.id in facts.stays_off else _why_to_run(line, facts)


def _why_to_move(line: LedgerLine, facts: BuildFacts[L]) -> str:
    return "" if facts.stage(line.item.id) in _AFTER_ALL else _why_open(line, facts)


_STAGES: Mapping[str, frozenset[Stage]] = {
    MATING: frozenset({Stage.BEFORE_MATING}),
    LIFT_IN: frozenset({Stage.BENCH, Stage.BEFORE_MATING, Stage.CART, Stage.ON_BEFORE, Stage.MATING}),
    LANDING: frozenset({Stage.BEFORE_LANDING, Stage.MATING}),
}
_WHY: Mapping[str, Callable[[LedgerLine, BuildFacts[L]], str]] = {
    HOOK_UP: _why_at_hook_up,
    LIFT: _why_tied,
    MATING: _why_staged(MATING),
    LIFT_IN: _why_staged(LIFT_IN),
    LANDING: _why_at_landing,
    TRIAL: _why_at_trial,
    START: _why_to_run,
    MOVE: _why_to_move,
}
