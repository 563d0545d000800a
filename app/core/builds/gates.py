"""The gates of a build: which it has, which comes next, and what each sees of it."""

from collections.abc import Mapping
from dataclasses import replace

from app.core.builds.snapshot import Entry, Snapshot
from app.core.gates.by_phase import HOOK_UP, LANDING, LIFT, LIFT_IN, MATING, MOVE, START, TRIAL
from app.core.gates.facts import BuildFacts
from app.core.gates.gate_state import GateState, gate_state
from app.core.gates.gates import Gate, GateFacts
from app.core.items.roles import Role
from app.core.order.acts import LATER, LOOSENED
from app.core.phases.registers import Place
from app.core.phases.routes import Route, mates_in_vehicle
from app.core.phases.units import UnitKind

_TELLS_MATING = frozenset({Role.LIFT, Role.BENCH})
"""Without either of them nothing tells what mating hides."""


def gate_keys(build: Snapshot) -> tuple[str, ...]:
    """Return the keys of the gates that a build has, in the order in which their acts come.

    Without an engine that leaves there is no lift and no mating; without a step for the first start or the
    first drive no gate stands before those.
    """
    swap, roles = build.swap, {step.role for step in build.steps}
    gearbox = bool(swap.units.of_kind(UnitKind.GEARBOX))
    out = (HOOK_UP, LIFT) if swap.out is not Route.NONE else ()
    meet = (MATING,) * gearbox
    inward = (LIFT_IN, *meet, LANDING) if mates_in_vehicle(swap.back) else (*meet, LIFT_IN, LANDING)
    back = inward if swap.back is not Route.NONE else ()
    runs = (TRIAL, START) if Role.FIRST_START in roles or back else ()
    moves = (MOVE,) if Role.MOVE in roles or runs else ()
    return (*out, *back, *runs, *moves)


def gate_round(build: Snapshot, key: str = "") -> int:
    """Return the round that gates belong to: each rise of an engine that had been lifted in opens one.

    Args:
        build: As it stands.
        key: Of the gate: once an engine is in again, those on its way out ask for the round that it opens.
    """
    return build.phases.round + (key in {HOOK_UP, LIFT} and build.phases.is_in_again)


def is_behind(key: str, build: Snapshot) -> bool:
    """Tell whether the act of a gate has been, in this round; a trial start never is."""
    phases, units = build.phases, build.swap.units
    out = phases.states.get(units.outgoing())
    if key in {HOOK_UP, LIFT}:
        left = out is not None and (out.has_left or out.place not in {Place.IN, None})
        return left or (key == HOOK_UP and out is not None and bool(out.on_hook))
    word = {MATING: "mating", LIFT_IN: "lift_in", LANDING: "landed", START: "first_start", MOVE: "moved"}
    return word.get(key, "") in phases.happened()


def build_facts(build: Snapshot, told: GateFacts) -> BuildFacts[Entry]:
    """Return a build as a gate sees it that was told something."""
    return replace(_facts(build), told=told, asked_then=_asked_then(told))


def _facts(build: Snapshot) -> BuildFacts[Entry]:
    lifts = [step.position for step in build.steps if step.role is Role.LIFT]
    return BuildFacts(
        tuple(build.entries.values()),
        build.phases,
        build.sides,
        build.barriers,
        positions={step.id: step.position for step in build.steps},
        lift=max(lifts, default=None),
        findings=build.findings,
        once_critical=frozenset(
            e.item.id for e in build.items if e.item.was_critical and not e.item.critical
        ),
        acceptances=build.acceptances,
        deferred=_deferred(build),
        kept=build.gate_codes,
    )


def _deferred(build: Snapshot) -> frozenset[str]:
    """Return what is tightened in a later step, once the engine is in."""
    outside = {step.id for step in build.steps if step.role in {Role.BENCH, Role.MATING}}
    said = (each for each in build.install_exceptions if each.what in {LATER, LOOSENED})
    return frozenset(each.item for each in said if each.step not in outside)


def _asked_then(told: GateFacts) -> frozenset[str] | None:
    """Return what the newest clean pass had on its page; `None` where none says it."""
    clean = [each for each in told.passes if not each.open]
    return frozenset(clean[0].asked) if clean and clean[0].asked is not None else None


def state_of(gate: Gate, build: Snapshot, told: GateFacts) -> GateState[Entry]:
    """Return one gate of a build as it stands."""
    there = {step.role for step in build.steps}
    missing = tuple(role for role in gate.needs if role not in there)
    needed = missing if gate.key == MATING and not _TELLS_MATING & there else ()
    is_blind = not build.swap.is_said
    found = gate_state(gate, build_facts(build, told), missing=missing, is_blind=is_blind, needed=needed)
    return replace(found, unread=_unread(found, build))


def _unread(found: GateState[Entry], build: Snapshot) -> tuple[Entry, ...]:
    """Return the groups whose reading the start asks about; a green pass from before it asked stands."""
    asks = found.gate.key in {TRIAL, START}
    stands = found.is_green and any(each.asked is None for each in found.facts.passes)
    return build.unconfirmed if asks and not stands else ()


def next_gate(
    gates: Mapping[str, Gate], build: Snapshot, told: Mapping[str, GateFacts]
) -> GateState[Entry] | None:
    """Return the first gate whose act is still to come and that is not green; a trial start is nobody's next.

    Args:
        gates: By key.
        build: As it stands.
        told: What each gate was told.
    """
    for key in gate_keys(build):
        if key == TRIAL or is_behind(key, build):
            continue
        found = state_of(gates[key], build, told[key])
        if not found.is_green:
            return found
    return None
