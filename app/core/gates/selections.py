"""Which lines of the ledger a gate looks at: what still joins engine and vehicle, what mating hides, all."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from app.core.gates.gates import STAYS_OFF, Gate, GateFacts
from app.core.items.items import Connection, Edge, Item
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Role, RoleStep
from app.core.items.state import PositionState
from app.core.ledger.ledger import L, LedgerLine

FREE = frozenset({Act.OFF, Act.ALREADY_OFF, Act.UNUSED})
_SIDES = {"vehicle": "vehicle", "old engine": "engine", "new engine": "engine"}
_UP_TO_THE_LIFT = frozenset({Kind.CONNECTION, Kind.FASTENER, Kind.PART, Kind.FLUID})


class GateStep(RoleStep, Protocol):
    """A step as far as gates go by it."""

    @property
    def position(self) -> int:
        """Its place in the order of taking off."""


class StatedOrder(Protocol):
    """One step that is stated to come before another on the way back."""

    @property
    def before(self) -> str:
        """Its id."""

    @property
    def after(self) -> str:
        """The other's id."""


@dataclass(frozen=True, slots=True)
class GatePlan:
    """What gates need of the plan.

    Args:
        steps: Step -> its place in the order of taking off.
        lift: The place of the step that lifts the engine out.
        starts: The steps that start the engine.
        ties: Names for a group the things that it holds or joins.
        roles: Step -> what it is for, where that is more than other work.
        after_start: Steps that are stated to come after the first start.
    """

    steps: Mapping[str, int]
    lift: int
    starts: frozenset[str]
    ties: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    roles: Mapping[str, Role] = field(default_factory=dict)
    after_start: frozenset[str] = frozenset()

    @property
    def moves(self) -> frozenset[str]:
        """The steps in which the vehicle is driven."""
        return frozenset(step for step, role in self.roles.items() if role is Role.MOVE)


def gate_plan(
    steps: Iterable[GateStep], edges: Iterable[Edge] = (), orders: Iterable[StatedOrder] = ()
) -> GatePlan:
    """Return the plan as gates see it; without a step that lifts, all steps come before the lift."""
    known = tuple(steps)
    roles = {step.id: step.role for step in known if step.role}
    end = max((step.position for step in known), default=0)
    starts = frozenset(step for step, role in roles.items() if role is Role.FIRST_START)
    return GatePlan(
        {step.id: step.position for step in known},
        max((step.position for step in known if step.role is Role.LIFT), default=end),
        starts,
        ties_of(edges),
        roles,
        _following(starts, orders),
    )


def _following(starts: frozenset[str], orders: Iterable[StatedOrder]) -> frozenset[str]:
    """Return the steps that are stated to come after one of these, directly or through others."""
    pairs = tuple((order.before, order.after) for order in orders)
    found = starts
    while more := {after for before, after in pairs if before in found} - found:
        found |= more
    return found - starts


def missing_in(gate: Gate, plan: GatePlan) -> tuple[Role, ...]:
    """Return the roles that a gate goes by and no step of the plan has."""
    there = set(plan.roles.values())
    return tuple(role for role in gate.needs if role not in there)


def is_blind(gate: Gate, plan: GatePlan) -> bool:
    """Tell whether a gate cannot tell which lines are its own: nothing may then call it clear.

    What mating hides came off after the lift or is work of the bench; a plan with neither tells nothing.
    """
    return gate.selection == "mating" and not {Role.LIFT, Role.BENCH} & set(plan.roles.values())


def ties_of(edges: Iterable[Edge]) -> dict[str, tuple[str, ...]]:
    """Return for each thing what it holds or joins."""
    found: dict[str, list[str]] = {}
    for edge in edges:
        if edge.rel in {"holds", "joins"}:
            found.setdefault(edge.frm, []).append(edge.to)
    return {frm: tuple(to) for frm, to in found.items()}


def clear_key(item: Item) -> str:
    """Return the question whether something tied aside is clear of the lift."""
    return f"clear:{item.id}"


def select(gate: Gate, lines: Iterable[L], plan: GatePlan, facts: GateFacts) -> tuple[L, ...]:
    """Return the lines that keep a gate shut.

    Args:
        gate: Whose `selection` says which: `joining`, `mating`, `all`, `all_but`, `all_and_after`, `none`.
        lines: The whole ledger.
        plan: See `GatePlan`.
        facts: What the gate was told: things tied aside looked at, what stays off at a trial start.
    """
    every = tuple(lines)
    if gate.selection == "joining":
        by_id = {line.item.id: line for line in every}
        return tuple(line for line in every if why_joined(line, by_id, plan, facts))
    opened = (line for line in every if line.reasons)
    chosen: Mapping[str, Callable[[LedgerLine], bool]] = {
        "mating": lambda line: _hidden_by_mating(line.item, gate, plan),
        "all": lambda line: not _comes_after_start(line.item, plan),
        "all_but": lambda line: (
            not _comes_after_start(line.item, plan) and line.item.id not in stays_off(facts)
        ),
        "all_and_after": lambda line: line.item.id not in plan.moves,
        "none": lambda _: False,
    }
    return tuple(line for line in opened if chosen[gate.selection](line))


def _comes_after_start(item: Item, plan: GatePlan) -> bool:
    """Tell whether a line is the start, the drive, or stated to follow the start; a critical one never is."""
    return item.id in plan.starts | plan.moves or (item.step in plan.after_start and not item.critical)


def stays_off(facts: GateFacts) -> frozenset[str]:
    """Return the ids of what was named to stay off at a trial start."""
    answer = facts.answers.get(STAYS_OFF)
    named = answer.value if answer else ()
    return frozenset(map(str, named)) if isinstance(named, list | tuple) else frozenset()


def why_joined(line: LedgerLine, by_id: Mapping[str, LedgerLine], plan: GatePlan, facts: GateFacts) -> str:
    """Return why something keeps the engine from leaving; an empty text where it does not.

    Returns:
        "aside": tied aside, and nobody has said by name that it is clear of the lift.
        "joins": its ends, or the things that it ties, belong to engine and vehicle.
        "ends-unknown": a connection whose ends are not described: it may join them.
        "planned": it was to come off before the lift, and is on or only loosened.
    """
    item = line.item
    if item.kind not in _UP_TO_THE_LIFT:
        return ""
    if any(p.act is Act.ASIDE for p in line.state.positions):
        return "" if _is_seen_clear(line, facts) else "aside"
    if isinstance(item.detail, Connection):
        joints = [p for p in line.state.positions if p.act not in FREE]
        return next((why for p in joints if (why := _crosses(item.detail, p.n))), "")
    if (
        item.kind is Kind.FASTENER
        and _spans(item, by_id, plan.ties.get(item.id, ()))
        and any(map(_holds, line.state.positions))
    ):
        return "joins"
    early = plan.steps.get(item.step, plan.lift) <= plan.lift and bool(item.step)
    still_on = any(p.act in {None, Act.LOOSENED} for p in line.state.positions)
    return "planned" if early and still_on else ""


def _is_seen_clear(line: LedgerLine, facts: GateFacts) -> bool:
    """Tell whether somebody saw it clear as it is now: whatever happened to it since asks again."""
    answer = facts.answers.get(clear_key(line.item))
    if not answer or answer.disagree or not isinstance(answer.value, list):
        return False
    return set(map(str, answer.value)) == set(line.state.tips)


def _crosses(connection: Connection, joint: int) -> str:
    """Return why one joint may tie engine and vehicle: the first end against the end of its position."""
    ends = connection.ends
    if not any(end.label for end in ends) and {end.owner for end in ends} == {"vehicle"}:
        return "ends-unknown"
    other = ends[joint] if joint < len(ends) else ends[-1]
    sides = {_SIDES.get(ends[0].owner, ""), _SIDES.get(other.owner, "")}
    return "joins" if len(sides) > 1 or "" in sides else ""


def _holds(position: PositionState) -> bool:
    return position.act not in FREE and position.piece != "spare"


def _spans(item: Item, by_id: Mapping[str, LedgerLine], ties: Iterable[str]) -> bool:
    """Tell whether what a group holds or joins belongs to engine and vehicle both."""
    tied = (by_id[each].item for each in ties if each in by_id)
    owners = {each.owner for each in tied if each.kind is not Kind.CONNECTION}
    owners |= {item.owner} - {"vehicle"}  # what nobody chose says nothing
    return len({_SIDES[owner] for owner in owners if owner in _SIDES}) > 1


def _hidden_by_mating(item: Item, gate: Gate, plan: GatePlan) -> bool:
    """Tell whether an open line cannot be reached once engine and gearbox are together."""
    said = f"{item.name} {item.type}".casefold()
    if any(word in said for word in gate.not_words):
        return False
    if any(word in said for word in gate.words):
        return True
    role = plan.roles.get(item.step, Role.NONE)
    if item.kind is Kind.STEP or role is Role.MATING:
        return False  # what is done while they come together hides nothing from itself
    return role is Role.BENCH or plan.steps.get(item.step, -1) > plan.lift
