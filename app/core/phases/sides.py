"""On which side of the engine's way out a thing belongs: to which units what it joins belongs."""

from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from functools import cached_property

from app.core.items.items import Connection, Edge, Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.phases.routes import LEAVES, Route
from app.core.phases.units import NOT_SAID, UnitKind, Units

ON_BEFORE, STAYS_OFF = "on_before", "stays_off"
EXCEPTIONS = frozenset({ON_BEFORE, STAYS_OFF})
"""On before it goes in, because it cannot be reached later; stays off until it is in, for clearance."""


@dataclass(frozen=True, slots=True)
class SideException:
    """An exception of one thing to the side rule; without a reason it does not count."""

    what: str
    reason: str = ""

    @property
    def counts(self) -> bool:
        """Whether it changes anything."""
        return self.what in EXCEPTIONS and bool(self.reason.strip())


@dataclass(frozen=True)
class Sides:
    """What the side of a thing follows from.

    Args:
        units: Of the build.
        out, back: The routes of both ways.
        items: By id.
        edges: `holds` and `joins` among them say what a group or a connection ties.
        roles: Step -> its role.
        chosen: Ids of items whose owner, or whose ends' owners, somebody chose: `vehicle` is what earlier
            folders have by default, and says nothing unless it was chosen.
        exceptions: By item.
    """

    units: Units
    out: Route
    back: Route
    items: Mapping[str, Item]
    edges: tuple[Edge, ...] = ()
    roles: Mapping[str, Role] = field(default_factory=dict)
    chosen: frozenset[str] = frozenset()
    exceptions: Mapping[str, SideException] = field(default_factory=dict)
    ties: Mapping[str, tuple[str, ...]] = field(init=False)
    closed: Mapping[str, tuple[str, ...]] = field(init=False)
    _joined: tuple[dict[str, frozenset[str]], dict[str, frozenset[str]]] = field(
        init=False, repr=False, compare=False, default_factory=lambda: ({}, {})
    )
    _alike: dict[frozenset[str], frozenset[str]] = field(
        init=False, repr=False, compare=False, default_factory=dict
    )

    def __post_init__(self) -> None:
        """Gather what each thing holds or joins, and by what each cap's opening is joined."""
        object.__setattr__(self, "ties", self._targets({"holds", "joins"}))
        object.__setattr__(self, "closed", self._targets({"closes"}))

    def _targets(self, rels: AbstractSet[str]) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for edge in self.edges:
            if edge.rel in rels and edge.to in self.items:
                found.setdefault(edge.frm, []).append(edge.to)
        return {frm: tuple(to) for frm, to in found.items()}

    @cached_property
    def by_system(self) -> Mapping[str, tuple[Item, ...]]:
        """For each fluid system the things that hold its fluid back."""
        found: dict[str, list[Item]] = {}
        for item in self.items.values():
            if item.circuit:
                found.setdefault(item.circuit, []).append(item)
        return {system: tuple(items) for system, items in found.items()}

    @cached_property
    def by_kind(self) -> Mapping[Kind, tuple[Item, ...]]:
        """The things of each kind."""
        found: dict[Kind, list[Item]] = {}
        for item in self.items.values():
            found.setdefault(item.kind, []).append(item)
        return {kind: tuple(items) for kind, items in found.items()}

    def role(self, item: Item) -> Role:
        """Return the role of a thing's step, or of the step that it is."""
        return self.roles.get(item.id if item.kind is Kind.STEP else item.step, Role.NONE)

    def owner(self, item: Item, *, back: bool) -> str:
        """Return to which unit a thing belongs, or `NOT_SAID`."""
        if item.owner == "vehicle" and item.id not in self.chosen:
            return NOT_SAID
        return self.units.of_owner(item.owner, back=back)

    def joints(self, item: Item, *, back: bool = False) -> tuple[frozenset[str], ...]:
        """Return for each joint of a connection the units of its two ends, `NOT_SAID` where unknown."""
        if not isinstance(item.detail, Connection):
            return ()
        ends = item.detail.ends
        words = [end.owner for end in ends]
        if item.id not in self.chosen and set(words) == {"vehicle"} and not any(end.label for end in ends):
            words = [NOT_SAID] * len(ends)
        owners = [self._end(item, word, back=back) for word in words]
        if "part" in words:  # the part that it plugs into is that of its other end
            stated = {owner for owner, word in zip(owners, words, strict=True) if word != "part"}
            for at, word in enumerate(words):
                if word == "part" and owners[at] in stated:
                    owners[at] = NOT_SAID
        first = owners[0] if owners else NOT_SAID
        return tuple(frozenset({first, other}) for other in owners[1:]) or (frozenset({first, NOT_SAID}),)

    def _end(self, item: Item, owner: str, *, back: bool) -> str:
        """Return whose an end is; one on a part is its part's, where one part is named."""
        if owner != "part":
            return self.units.of_owner(owner, back=back)
        parts = [self.items[to] for to in self.ties.get(item.id, ()) if self.items[to].kind is Kind.PART]
        owners = {self.owner(part, back=back) for part in parts}
        return owners.pop() if len(owners) == 1 else NOT_SAID

    def joined(self, item: Item, *, back: bool = False) -> frozenset[str]:
        """Return the units that a thing joins, or belongs to; `NOT_SAID` where something is open."""
        own = self.items.get(item.id)
        if item is not own and item != own:
            return self._joins(item, back=back)
        found = self._joined[back].get(item.id)
        if found is None:
            joined = self._joins(item, back=back)
            found = self._joined[back][item.id] = self._alike.setdefault(joined, joined)
        return found

    def _joins(self, item: Item, *, back: bool) -> frozenset[str]:
        if isinstance(item.detail, Connection):
            return frozenset().union(*self.joints(item, back=back))
        own = self.owner(item, back=back)
        if item.kind is not Kind.FASTENER or item.id not in self.ties:
            return frozenset({own})
        tied = (self.items[to] for to in self.ties[item.id])
        held = {self.owner(each, back=back) for each in tied if each.kind is not Kind.CONNECTION}
        return frozenset(held | {own}) if held else frozenset({own})

    def parts_ways(self, unit: str, *, back: bool = False) -> bool:
        """Tell whether a unit leaves the vehicle on the route."""
        return self.units.kind(unit) in LEAVES[self.back if back else self.out]

    def crosses(self, joined: AbstractSet[str], *, back: bool = False) -> bool | None:
        """Tell whether what joins these units ties what leaves to what stays; `None` where it is not said."""
        leaving = {self.parts_ways(unit, back=back) for unit in joined if unit != NOT_SAID}
        if len(leaving) > 1:
            return True
        return None if NOT_SAID in joined else False

    def kinds(self, joined: Iterable[str], *, back: bool = False) -> frozenset[UnitKind]:
        """Return which kinds of units are joined; what does not leave counts as the vehicle."""
        found = (self.units.kind(unit) or UnitKind.VEHICLE for unit in joined if unit != NOT_SAID)
        leaves = LEAVES[self.back if back else self.out]
        return frozenset(kind if kind in leaves else UnitKind.VEHICLE for kind in found)
