"""The graph of acts: what must be in before what, the order, and where that is not the plain reverse."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from app.core.order.acts import (
    CHECK,
    DURING,
    FINISH,
    LATER,
    LIVE,
    LOOSENED,
    OUT,
    PLACE,
    TWICE,
    InstallException,
    Node,
)

ACTS = frozenset({PLACE, FINISH, CHECK, OUT})
START_ALL, GROUND_LAST, IN_STEP, STATED = "start-all", "ground-last", "in-step", "stated:"
STUD_FIRST, CIRCUIT_CLOSED = "stud-first", "circuit-closed"
MOUNTS_LAST, HOUSING_FIRST = "mounts-last", "housing-first"


@dataclass(frozen=True, slots=True)
class Deviation:
    """Where the order leaves the plain reverse.

    Args:
        item: What is moved or has an exception.
        what: `moved`, or the exception's own word.
        other: The id of the item it comes after, or of the step it is done in.
        why: `holds`, `joins`, `covers`, `start-all`, `ground-last`, `in-step`, `milestone`, `seals`,
            `closes`, `stud-first`, `circuit-closed`, `mounts-last`, `housing-first`,
            `stated`; empty for an exception.
        reason: The user's words, where there are some.
    """

    item: str
    what: str
    other: str
    why: str = ""
    reason: str = ""


@dataclass(frozen=True)
class Graph:
    """Acts and what must be in before each.

    Args:
        nodes: The nodes.
        before: For each node those that must be in before it.
        why: Beside `before`, why each must.
        order: The places of all nodes in the order of putting back.
        rank: For each node where it stands in the plain reverse.
        install_exceptions: The exceptions that count.
        unsaid: Things of which nothing tells on which side of the milestones they belong.
        yielded: Things that stand on another side of a milestone than their step says, as what is stated
            of them asks it: a page shows both.
    """

    nodes: tuple[Node, ...]
    before: tuple[tuple[int, ...], ...]
    why: tuple[tuple[str, ...], ...] = field(repr=False)
    order: tuple[int, ...]
    rank: tuple[tuple[float, int], ...] = field(repr=False)
    install_exceptions: tuple[InstallException, ...] = ()
    unsaid: tuple[str, ...] = ()
    yielded: tuple[str, ...] = ()

    @property
    def is_proved(self) -> bool:
        """Whether all is said that the order follows from; otherwise it is no more than likely."""
        return not (self.unsaid or self.yielded)

    @cached_property
    def acts(self) -> Mapping[str, tuple[int, ...]]:
        """For each item its acts, first to last."""
        found: dict[str, tuple[int, ...]] = {}
        for i in self.order:
            of, what, _ = self.nodes[i]
            if what in ACTS:
                found[of] = (*found.get(of, ()), i)
        return found

    @cached_property
    def position(self) -> tuple[int, ...]:
        """For each node its place in the order."""
        found = [0] * len(self.order)
        for nth, i in enumerate(self.order):
            found[i] = nth
        return tuple(found)

    @cached_property
    def opens(self) -> Mapping[int, tuple[int, ...]]:
        """For each node the nodes that nobody does and that are in once it is, and all else before them."""
        found: dict[int, list[int]] = defaultdict(list)
        for i, befores in enumerate(self.before):
            if self.nodes[i].what not in ACTS:
                for other in befores:
                    found[other].append(i)
        return {node: tuple(opened) for node, opened in found.items()}

    @cached_property
    def last_place(self) -> Mapping[str, int]:
        """For each item the act that puts it in position for good."""
        return {self.nodes[i].of: i for i in self.order if self.nodes[i].what == PLACE}

    @cached_property
    def fitted_again(self) -> Mapping[str, int]:
        """For each item that comes out once more, the round in which that was stated."""
        return {
            exception.item: exception.nth
            for exception in self.install_exceptions
            if exception.what in {TWICE, DURING}
        }

    def ground_last(self) -> frozenset[tuple[str, str]]:
        """Return the battery's ground cable with each thing that carries current and is joined before."""
        return frozenset(
            (self.nodes[later].of, self.nodes[first].of)
            for later, befores in enumerate(self.before)
            for hub in befores
            if self.nodes[hub].what == LIVE
            for first in self.before[hub]
        )

    def is_in_step(self, act: int, exception: InstallException) -> bool:
        """Tell whether an act is done in the step that an exception of its item names."""
        if exception.what in {LATER, LOOSENED}:
            return self.nodes[act].what in {FINISH, CHECK}
        return act != self.last_place[exception.item] and self.nodes[act].what in {PLACE, OUT}

    def deviations(self) -> tuple[Deviation, ...]:
        """Return where the order leaves the plain reverse, in the order of putting back: the exceptions."""
        stated = [Deviation(d.item, d.what, d.step, reason=d.reason) for d in self.install_exceptions]
        return (*self._moved(), *stated)

    def _moved(self) -> list[Deviation]:
        found = []
        furthest = -1.0
        for i in self.order:
            if self.nodes[i].what != PLACE or self.last_place[self.nodes[i].of] != i:
                continue
            if self.rank[i][0] < furthest:
                found.append(self._cause(i))
            furthest = max(furthest, self.rank[i][0])
        return found

    def _cause(self, moved: int) -> Deviation:
        """Return what a node had to wait for last: the act that came just before it could."""
        at, why = moved, ""
        while not why or self.nodes[at].what not in ACTS or self.nodes[at].of == self.nodes[moved].of:
            at, said = max(
                zip(self.before[at], self.why[at], strict=True), key=lambda pair: self.position[pair[0]]
            )
            why = why if why.startswith(STATED) else said or why
            if not self.before[at]:
                break
        reason = why.removeprefix(STATED) if why.startswith(STATED) else ""
        word = STATED.rstrip(":") if why.startswith(STATED) else why
        return Deviation(self.nodes[moved].of, "moved", self.nodes[at].of, word, reason)
