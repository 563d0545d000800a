"""What the judge of sequence speaks from: milestones, relations and states."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from app.core.consistency.times import Times
from app.core.items.items import Edge, Item
from app.core.items.kinds import Act, Kind, rung
from app.core.items.state import ItemState
from app.core.ledger.ledger import has_begun, is_settled, is_unused, work_act
from app.core.phases.phases import Phases
from app.core.phases.sides import Sides

SEALS, CLOSES = "seals", "closes"
"""A gasket and the part that goes on it; a cap or rag and what its opening is joined by."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A thing as it stands, with the times of its marks."""

    item: Item
    state: ItemState
    times: Times = field(default_factory=Times)

    @property
    def goes_back(self) -> bool:
        """Whether it came off and is to go back."""
        return has_begun(self.state) and not is_unused(self.state) and not is_settled(self.item, self.state)

    @property
    def is_back(self) -> bool:
        """Whether any of it is in position again."""
        return self.goes_back and any(self._at(p.act) > 0 for p in self.state.positions if p.act)

    @property
    def is_whole(self) -> bool:
        """Whether all of it is in position."""
        return not self.goes_back or self._reaches(1)

    @property
    def is_done(self) -> bool:
        """Whether its own work is done."""
        return not self.goes_back or self._reaches(rung(self.item.kind, work_act(self.item)))

    def _reaches(self, wanted: int) -> bool:
        if any(p.disagree for p in self.state.positions):
            return False
        return all(self._at(p.act) >= wanted for p in self.state.positions if p.act and p.piece != "spare")

    def _at(self, act: Act) -> int:
        return 1 if self.item.kind is Kind.STEP else rung(self.item.kind, act)

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines that say how it stands."""
        said = {line for position in self.state.positions for line in position.lines}
        return tuple(sorted(said if self.item.kind is not Kind.FLUID else {*said, *self.state.tips}))


def is_engine_oil(item: Item) -> bool:
    """Tell whether something is the fluid that is primed before a start."""
    return item.kind is Kind.FLUID and "engine oil" in item.type.casefold()


@dataclass(frozen=True, slots=True)
class Expected:
    """What a system takes.

    Args:
        refill_l: After a plain change, [l]; 0 where nobody said.
        dry_l: When all of it is empty, [l]; 0 where nobody said.
        is_dry: It is filled dry: a new engine, converter, cooler or radiator.
    """

    refill_l: float = 0.0
    dry_l: float = 0.0
    is_dry: bool = False


@dataclass(frozen=True)
class Scene:
    """A build as the judge sees it.

    Args:
        things: By id.
        edges: Among them `holds`, `covers`, `seals`, `closes`, `replaces`.
        phases: Where its units are.
        sides: Whose the ends of things are.
        away: Ids of things that are out of the house, in treatment or with somebody.
        systems: Thing -> the fluid's system that it holds back.
        expected: Fluid -> what its system takes.
    """

    things: Mapping[str, Seen]
    edges: tuple[Edge, ...]
    phases: Phases
    sides: Sides
    away: frozenset[str] = frozenset()
    systems: Mapping[str, str] = field(default_factory=dict)
    expected: Mapping[str, Expected] = field(default_factory=dict)

    @cached_property
    def pairs(self) -> Mapping[str, tuple[tuple[Seen, Seen], ...]]:
        """For each relation the two things of each edge, as they stand now: a replacement for the old one."""
        found: dict[str, list[tuple[Seen, Seen]]] = defaultdict(list)
        for edge in self.edges:
            for frm in self._now(edge.frm):
                for to in self._now(edge.to):
                    if edge.rel != "replaces" and frm is not to:
                        found[edge.rel].append((frm, to))
        return {rel: tuple(pairs) for rel, pairs in found.items()}

    @cached_property
    def _news(self) -> Mapping[str, list[str]]:
        news: dict[str, list[str]] = defaultdict(list)
        for edge in self.edges:
            if edge.rel == "replaces":
                news[edge.to].append(edge.frm)
        return news

    def _now(self, item: str) -> Iterable[Seen]:
        """Return a thing, or what stands in its place."""
        ahead, known = [item], {item}
        while ahead:
            here = ahead.pop()
            new = [each for each in self._news.get(here, ()) if each in self.things and each not in known]
            if new and self.things.get(here) and self.things[here].state.destiny.value == "replaced":
                known |= set(new)
                ahead += new
            elif here in self.things:
                yield self.things[here]

    @cached_property
    def covering(self) -> Mapping[str, tuple[Seen, ...]]:
        """For each thing what is put over it."""
        found: dict[str, list[Seen]] = defaultdict(list)
        for over, under in self.pairs.get("covers", ()):
            found[under.item.id].append(over)
        return {key: tuple(over) for key, over in found.items()}

    @cached_property
    def plugs(self) -> Mapping[str, tuple[Seen, ...]]:
        """For each thing the caps and rags in its opening, in or out."""
        found: dict[str, list[Seen]] = defaultdict(list)
        for cap, thing in self.pairs.get(CLOSES, ()):
            found[thing.item.id].append(cap)
        return {key: tuple(caps) for key, caps in found.items()}
