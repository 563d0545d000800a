"""The parts that a build is read from, and what follows from them before anything is asked of the order."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from app.core.builds.entry import Entry, PlaceFacts, StepFacts, ZoneFacts
from app.core.builds.filling import filling_step
from app.core.builds.scenes import scene_of
from app.core.consistency.findings import Finding as Found
from app.core.consistency.findings import FindingAnswer, unanswered
from app.core.consistency.judge import judge
from app.core.consistency.scene import Scene
from app.core.gates.facts import Acceptance
from app.core.gates.kept import KeptCodes
from app.core.items.items import Connection, Edge, Item
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from app.core.order.acts import GoesAfter, InstallException, StepEdge
from app.core.phases.barriers import Barriers, barriers
from app.core.phases.phases import Phases, fold_phases
from app.core.phases.sides import SideException, Sides
from app.core.phases.swap import Swap, likely_swap
from app.core.procurement.outstanding import Outstanding


@dataclass(frozen=True)
class Parts:
    """The parts of a build at line `seq`, and what its units, sides and the judge's findings are."""

    seq: int
    id: str
    nr: int
    title: str
    vehicle: str
    layout: str
    units: str
    dialect: str
    rev: int
    zones: tuple[ZoneFacts, ...]
    steps: tuple[StepFacts, ...]
    entries: Mapping[str, Entry]
    edges: tuple[Edge, ...]
    places: Mapping[str, PlaceFacts]
    tags: Mapping[str, tuple[str, ...]] = field(repr=False)
    photos: Mapping[str, tuple[str, ...]] = field(repr=False)
    tray: tuple[str, ...] = ()
    currency: str = "EUR"
    outstanding: tuple[Outstanding, ...] = ()
    step_edges: tuple[StepEdge, ...] = ()
    install_exceptions: tuple[InstallException, ...] = ()
    goes_after: tuple[GoesAfter, ...] = ()
    side_exceptions: Mapping[str, SideException] = field(default_factory=dict)
    said_swap: Swap | None = None
    milestones: tuple[Line, ...] = field(default=(), repr=False)
    finding_answers: tuple[FindingAnswer, ...] = ()
    acceptances: tuple[Acceptance, ...] = ()

    @cached_property
    def zone(self) -> dict[str, ZoneFacts]:
        """Zones by id."""
        return {zone.id: zone for zone in self.zones}

    @cached_property
    def step(self) -> dict[str, StepFacts]:
        """Steps by id."""
        return {step.id: step for step in self.steps}

    @cached_property
    def items(self) -> tuple[Entry, ...]:
        """The items, by running number; steps are left out."""
        real = (entry for entry in self.entries.values() if entry.item.kind is not Kind.STEP)
        return tuple(sorted(real, key=lambda entry: entry.item.number))

    @cached_property
    def lying(self) -> Mapping[str, tuple[Entry, ...]]:
        """For each place in which something lies the items in it, by running number."""
        found: dict[str, list[Entry]] = defaultdict(list)
        for entry in self.items:
            if entry.state.place.value:
                found[entry.state.place.value].append(entry)
        return {place: tuple(entries) for place, entries in found.items()}

    def step_back(self, item: Item) -> str:
        """Return the id of the step in which a thing goes back; empty where it has none.

        That is its own. A fluid goes back where it is filled, unless its step goes that way only.
        """
        if item.kind is not Kind.FLUID:
            return item.step
        own = self.step.get(item.step)
        if own is not None and own.direction == "on_only":
            return own.id
        filled = self.filling_steps.get(item.type)
        return filled.id if filled else item.step

    @cached_property
    def filling_steps(self) -> Mapping[str, StepFacts]:
        """Each of its fluids -> the step in which it is filled, where one fills."""
        fluids = {item.type for item in self.sides.by_kind.get(Kind.FLUID, ())}
        found = ((fluid, filling_step(fluid, self.steps)) for fluid in fluids)
        return {fluid: step for fluid, step in sorted(found, key=lambda pair: pair[0]) if step}

    def place_path(self, place_id: str) -> tuple[str, ...]:
        """Return the names from a bag outward; a loop made by two phones ends where it closes."""
        names: list[str] = []
        seen: set[str] = set()
        while place_id in self.places and place_id not in seen:
            seen.add(place_id)
            names.append(self.places[place_id].name)
            place_id = self.places[place_id].parent
        return tuple(names)

    @cached_property
    def replaces(self) -> dict[str, str]:
        """New id -> old id."""
        return {edge.frm: edge.to for edge in self.edges if edge.rel == "replaces"}

    @cached_property
    def replaced(self) -> frozenset[str]:
        """Ids of all in whose place another stands."""
        return frozenset(edge.to for edge in self.edges if edge.rel == "replaces")

    @cached_property
    def swap(self) -> Swap:
        """How the engine leaves and comes back; what is likely where nobody said."""
        return self.said_swap or likely_swap((step.role for step in self.steps), self._owners())

    def _owners(self) -> Iterator[str]:
        for entry in self.items:
            yield entry.item.owner
            if isinstance(entry.item.detail, Connection):
                yield from (end.owner for end in entry.item.detail.ends)

    @cached_property
    def phases(self) -> Phases:
        """Where its units are."""
        return fold_phases(self.swap.units, self.milestones)

    @cached_property
    def sides(self) -> Sides:
        """What the sides of its things follow from."""
        items = {i: entry.item for i, entry in self.entries.items()}
        roles = {step.id: step.role for step in self.steps if step.role}
        swap = self.swap
        return Sides(
            swap.units,
            swap.out,
            swap.back,
            items,
            self.edges,
            roles,
            frozenset(items),
            self.side_exceptions,
        )

    @cached_property
    def barriers(self) -> Barriers:
        """The stage of each thing on the way back, and what follows from it."""
        positions = {step.id: step.position for step in self.steps}
        names = {step.id: f"{step.name} {step.name_back}" for step in self.steps}
        return barriers((entry.item for entry in self.entries.values()), self.sides, positions, names)

    @cached_property
    def scene(self) -> Scene:
        """The build as the judge of sequence sees it."""
        return scene_of(self.entries, self.edges, self.phases, self.sides, self.outstanding)

    @cached_property
    def judgement(self) -> tuple[Found, ...]:
        """What the judge of sequence finds, answered or not."""
        return judge(self.scene)

    @cached_property
    def findings(self) -> tuple[Found, ...]:
        """What the judge of sequence finds and nobody has answered."""
        return unanswered(self.judgement, self.finding_answers)

    @cached_property
    def memo(self) -> dict[str, Any]:
        """What others worked out of this build at this moment, by their own keys."""
        return {}

    @cached_property
    def gate_codes(self) -> KeptCodes[Entry]:
        """Why lines keep its gates shut, kept for the moments that follow."""
        return KeptCodes()
