"""A build as it stands at one line of the journal: all that pages read, kept until the next line."""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate

from app.core.builds.entry import Entry, PlaceFacts, StepFacts, ZoneFacts
from app.core.builds.parts import Parts
from app.core.cycles import CycleError
from app.core.items.items import Edge, Finding
from app.core.items.kinds import Kind
from app.core.items.roles import Role, steps_with
from app.core.ledger.ledger import is_unused
from app.core.order.acts import Plan, PlanStep, Thing
from app.core.order.graph import Deviation, Graph
from app.core.order.graph_builder import OPENINGS, build_graph
from app.core.order.progress import OrderProgress
from app.core.order.replacements import Replacements
from app.core.procurement.outstanding import Outstanding, Unavailable, unavailable_because
from app.core.procurement.to_get import GetLine, get_lines, needs_of
from app.core.tightening.readings import unconfirmed_to_tighten

__all__ = ["Entry", "PlaceFacts", "Snapshot", "StepFacts", "ZoneFacts"]


@dataclass(frozen=True)
class Snapshot(Parts):
    """A build at line `seq`. Nothing in it changes; what follows from it is worked out once, when asked."""

    @cached_property
    def open(self) -> tuple[Entry, ...]:
        """The open lines."""
        return tuple(entry for entry in self.entries.values() if entry.reasons)

    @cached_property
    def unconfirmed(self) -> tuple[Entry, ...]:
        """The groups that were tightened or are to be, whose reading nobody has compared with the print."""
        return unconfirmed_to_tighten(self.items)

    @cached_property
    def open_by_zone(self) -> Mapping[str, int]:
        """How many lines are open in each zone; the empty key counts those without one."""
        return Counter(entry.item.zone for entry in self.open)

    @cached_property
    def taken_off(self) -> int:
        """How many lines the ledger has: all to which anything happened, and steps on the way back."""
        return sum(1 for e in self.entries.values() if e.reasons or e.begun)

    @cached_property
    def plan(self) -> Plan:
        """All that the order follows from."""
        return Plan(
            tuple(self._thing(entry) for entry in self.entries.values()),
            tuple(PlanStep(step.id, step.position, step.direction) for step in self.steps),
            (*self.edges, *(Edge(edge.to, "covers", edge.frm) for edge in self.edges if self._stops(edge))),
            self.step_edges,
            self.install_exceptions,
            self.goes_after,
            self.barriers.milestones,
            self.barriers.bounds,
            self.barriers.unsaid,
            self.barriers.settling,
        )

    @cached_property
    def graph(self) -> Graph:
        """The acts of putting back and what must be in before each.

        Raises:
            CycleError: What is stated goes round in a cycle.
        """
        return build_graph(self.plan)

    @property
    def is_proved(self) -> bool:
        """Whether all is said that the order follows from; otherwise it is no more than likely."""
        return self.swap.is_said and self.graph.is_proved

    @cached_property
    def cycle(self) -> tuple[str, ...]:
        """Ids of what waits for each other, first and last the same; empty in any build that pages wrote."""
        try:
            self.graph  # noqa: B018 - the order is worked out, or there is none
        except CycleError as error:
            return error.members
        return ()

    @cached_property
    def order_progress(self) -> OrderProgress:
        """The graph with what is in."""
        standing = {item: entry.progress for item, entry in self.entries.items()}
        return OrderProgress(self.graph, standing, self.reached)

    @property
    def reached(self) -> frozenset[str] | None:
        """The milestones of the way back that hold now; `None` where nobody said what the build is about."""
        return self.phases.happened() if self.swap.is_said else None

    @cached_property
    def order(self) -> tuple[str, ...]:
        """Ids of all that goes back, in the order of putting back: each at its next act."""
        in_turn = self.order_progress.in_turn()
        return tuple(item for item in in_turn if self.entries[item].item.kind is not Kind.FINDING)

    @cached_property
    def deferred(self) -> Mapping[str, str]:
        """Item -> the step in which its next act is done, where that is another one than its own."""
        found: dict[str, str] = {}
        for exception in self.graph.install_exceptions:
            next_node = self.order_progress.next_node.get(exception.item)
            if next_node is not None and self.graph.is_in_step(next_node, exception):
                found[exception.item] = exception.step
        return found

    @cached_property
    def deviations(self) -> tuple[Deviation, ...]:
        """Where the order leaves the plain reverse, and why."""
        return self.graph.deviations()

    @cached_property
    def stated(self) -> Mapping[str, tuple[Deviation, ...]]:
        """Item -> its exceptions, as the order has them."""
        found: dict[str, list[Deviation]] = defaultdict(list)
        for deviation in self.deviations:
            if deviation.what != "moved":
                found[deviation.item].append(deviation)
        return {item: tuple(own) for item, own in found.items()}

    @cached_property
    def skipped(self) -> tuple[Entry, ...]:
        """What came off and does not go back, each with its destiny and reason."""
        things = (e for e in self.items if e.item.kind is not Kind.FINDING)
        return tuple(e for e in things if e.begun and not e.goes_back and not is_unused(e.state))

    @cached_property
    def undecided(self) -> tuple[Entry, ...]:
        """Findings that wait for a decision: they do not go back, and the ledger stays open for them."""
        return tuple(e for e in self.items if e.item.kind is Kind.FINDING and e.is_open)

    @cached_property
    def predecessors(self) -> Mapping[str, tuple[str, ...]]:
        """For each id those that it holds, joins or covers, or that seal or close it: they come first."""
        found: dict[str, list[str]] = defaultdict(list)
        replacements = Replacements(self.plan)
        for frm, _, to in replacements.edges():
            found[frm].append(to)
        for edge in self.edges:
            if edge.rel in OPENINGS:
                for later in replacements.of(edge.to):
                    found[later] += [first for first in replacements.of(edge.frm) if first != later]
        return {key: tuple(dict.fromkeys(values)) for key, values in found.items()}

    def _thing(self, entry: Entry) -> Thing:
        """Return what the order knows of a line: a fluid belongs to the step in which it is filled."""
        if entry.item.kind is not Kind.FLUID:
            return entry.thing
        return replace(entry.thing, step=self.step_back(entry.item))

    def _stops(self, edge: Edge) -> bool:
        """Tell whether an edge ties a finding that must be decided first to what it was found on."""
        if edge.rel != "found_on" or edge.frm not in self.entries:
            return False
        finding = self.entries[edge.frm].item.detail
        return isinstance(finding, Finding) and finding.blocks

    @cached_property
    def to_get(self) -> tuple[GetLine, ...]:
        """What is to be got before things can go back, and what has been ordered or has arrived."""
        new, old = self.replaces.keys(), self.replaced
        needs = (
            need
            for e in self.items
            for need in needs_of(e.item, e.state, replaces=e.item.id in new, replaced_by=e.item.id in old)
        )
        return get_lines(needs, self.outstanding)

    @cached_property
    def unavailable(self) -> Mapping[str, Unavailable]:
        """What each item waits for that is not another item: away, soaking, undecided, ordered, to be got."""
        wanted: dict[str, list[str]] = defaultdict(list)
        met: set[str] = set()
        for line in self.to_get:
            if line.outstanding and not line.needed:
                met.add(line.outstanding.id)
            elif line.stage == "to get" and line.item in self.entries:
                wanted[line.item].append(line.what)
        still_out: dict[str, list[Outstanding]] = defaultdict(list)
        for outstanding in self.outstanding:
            if outstanding.is_open and outstanding.id not in met:
                still_out[outstanding.item_id].append(outstanding)
        undecided = {e.item.id for e in self.items if e.begun and e.state.destiny.value == "undecided"}
        found = (
            (
                i,
                unavailable_because(undecided=i in undecided, known=still_out[i], wanted=wanted[i]),
            )
            for i in sorted({*wanted, *still_out, *undecided} & self.entries.keys())
            if self.entries[i].goes_back
        )
        return {i: unavailable for i, unavailable in found if unavailable}

    def blocked_by(self, item_id: str) -> tuple[Entry, ...]:
        """Return what must be in before this item's next act and is not; before a start what does not fit."""
        if self.cycle:
            return ()
        unfit = (each.item for each in self.findings) if item_id in self.starting else ()
        found = dict.fromkeys((*self.order_progress.blocking(item_id), *unfit))
        return tuple(self.entries[i] for i in found if i in self.entries)

    @cached_property
    def starting(self) -> frozenset[str]:
        """Ids of the steps of the first start and of the first drive."""
        return steps_with(self.steps, Role.FIRST_START, Role.MOVE)

    def skips(self, item_id: str) -> tuple[Entry, ...]:
        """Return all that doing this item's next act now would skip."""
        return () if self.cycle else tuple(self.entries[i] for i in self.order_progress.skipped(item_id))

    def still_open_before(self, item_id: str) -> int:
        """Count what comes earlier in the order and is open, whether or not it must be in first."""
        return 0 if self.cycle else self._open_before.get(item_id, 0)

    @cached_property
    def _open_before(self) -> Mapping[str, int]:
        is_open = (self.entries[item].is_open for item in self.order)
        return dict(zip(self.order, accumulate(is_open, initial=0), strict=False))
