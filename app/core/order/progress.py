"""How far putting back is: which acts are in, what is next of each item, and what a next act would skip."""

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush

from app.core.order.acts import CHECK, FINISH, MILESTONE, OUT, Progress
from app.core.order.graph import ACTS, Graph

UNSAID = frozenset({"power_on", "first_start", "moved"})
"""Milestones before an act that is a thing or a step of its own: reached as soon as that can be done."""

_UNKNOWN = Progress()


@dataclass(frozen=True)
class OrderProgress:
    """The graph with what is in.

    Args:
        graph: What must be in before what.
        standing: For each item how far it is; one that is absent is not in.
        reached: The milestones that have been; `None` where nobody writes them down, and each is taken to
            have been once all before it is in.
    """

    graph: Graph
    standing: Mapping[str, Progress]
    reached: frozenset[str] | None = None
    inside: tuple[bool, ...] = field(init=False)
    next_node: Mapping[str, int] = field(init=False)

    def __post_init__(self) -> None:
        """Work out which nodes are in, and the next act of each item that has one."""
        inside = [False] * len(self.graph.nodes)
        for i in self.graph.order:
            inside[i] = self._is_in(i, inside, self.standing)
        next_node = {}
        for of, acts in self.graph.acts.items():
            for i in acts:
                if not inside[i]:
                    next_node[of] = i
                    break
        object.__setattr__(self, "inside", tuple(inside))
        object.__setattr__(self, "next_node", next_node)

    def after(self, moved: Mapping[str, Progress]) -> "OrderProgress":
        """Return the same graph with some items elsewhere: only what follows from those is worked out.

        Args:
            moved: How far each of them is now.
        """
        standing = {**self.standing, **moved}
        inside = self._inside_after(moved, standing)
        found = dict(self.next_node)
        for of in moved.keys() & self.graph.acts.keys():
            ahead = [i for i in self.graph.acts[of] if not inside[i]]
            found.pop(of, None)
            if ahead:
                found[of] = ahead[0]
        following = copy(self)
        for name, value in (("standing", standing), ("inside", inside), ("next_node", found)):
            object.__setattr__(following, name, value)
        return following

    def _inside_after(
        self, moved: Mapping[str, Progress], standing: Mapping[str, Progress]
    ) -> tuple[bool, ...]:
        """Return which nodes are in: the moved items' acts anew, and what opens or shuts with them."""
        position, order = self.graph.position, self.graph.order
        inside = list(self.inside)
        ahead = [position[i] for of in moved for i in self.graph.acts.get(of, ())]
        heapify(ahead)
        while ahead:
            i = order[heappop(ahead)]
            is_in = self._is_in(i, inside, standing)
            if is_in != inside[i]:
                inside[i] = is_in
                for opened in self.graph.opens.get(i, ()):
                    heappush(ahead, position[opened])
        return tuple(inside)

    def _is_in(self, i: int, inside: Sequence[bool], known: Mapping[str, Progress]) -> bool:
        of, what, nth = self.graph.nodes[i]
        if what not in ACTS:
            if what == MILESTONE and self.reached is not None and of not in UNSAID:
                return of in self.reached
            return all(inside[other] for other in self.graph.before[i])
        standing = known.get(of, _UNKNOWN)
        if what in {FINISH, CHECK}:
            done = standing.finished if what == FINISH else standing.looked_at
            return done and inside[self.graph.last_place[of]]
        stated_in = self.graph.fitted_again.get(of)
        if stated_in is None:
            return standing.placed
        turns = 2 * max(0, standing.round - stated_in) + standing.placed
        return turns >= 2 * nth - (what != OUT)

    def blocking(self, item: str) -> tuple[str, ...]:
        """Return the items that must be in before an item's next act and are not, in order."""
        return self._ahead(item, through_acts=False)

    def skipped(self, item: str) -> tuple[str, ...]:
        """Return all the items that doing an item's next act now would skip, in order."""
        return self._ahead(item, through_acts=True)

    def milestones_ahead(self, item: str) -> tuple[str, ...]:
        """Return the milestones that an item's next act waits for itself and that have not been, in order."""
        found: set[int] = set()
        ahead = [self.next_node[item]] if item in self.next_node else []
        while ahead:
            for other in self.graph.before[ahead.pop()]:
                if self.inside[other] or other in found or self.graph.nodes[other].what in ACTS:
                    continue
                found.add(other)
                ahead.append(other)
        told = [i for i in found if self.graph.nodes[i].what == MILESTONE]
        return tuple(self.graph.nodes[i].of for i in sorted(told, key=self.graph.position.__getitem__))

    def _ahead(self, item: str, *, through_acts: bool) -> tuple[str, ...]:
        """Return the items ahead of an item's next act that are not in: the nearest only, or all of them."""
        if item not in self.next_node:
            return ()
        found: set[int] = set()
        ahead = [self.next_node[item]]
        while ahead:
            for other in self.graph.before[ahead.pop()]:
                if not self.inside[other] and other not in found:
                    found.add(other)
                    if through_acts or self.graph.nodes[other].what not in ACTS:
                        ahead.append(other)
        return self._items(found)

    def _items(self, nodes: set[int]) -> tuple[str, ...]:
        acts = (i for i in nodes if self.graph.nodes[i].what in ACTS)
        ordered = sorted(acts, key=self.graph.position.__getitem__)
        return tuple(dict.fromkeys(self.graph.nodes[i].of for i in ordered))

    def in_turn(self) -> tuple[str, ...]:
        """Return all items in the order of what is next to be done of each; a done one by its first act."""
        position = self.graph.position
        first = {of: position[self.next_node.get(of, acts[0])] for of, acts in self.graph.acts.items()}
        return tuple(sorted(first, key=first.__getitem__))
