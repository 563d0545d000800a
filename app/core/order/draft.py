"""A graph as it is being drawn up: its nodes, what each waits for, and the order once all is said."""

from collections.abc import Callable, Iterable, Mapping

from app.core.cycles import CycleError
from app.core.order.acts import CLOSED, JOINT, LAID, LIVE, SETTLED, Node
from app.core.order.giving_way import cycle_of, drop_defaults, drop_soft
from app.core.order.sorting import topological_order

_DEFAULTS = frozenset({LAID, JOINT, LIVE, CLOSED, SETTLED})
_AT_ONCE = (-1.0, 0)


class Draft:
    """The nodes by their places; `before` and `rank` lie beside them.

    `before` has for each node those that come before it, and why; where several say so, the first does.
    `yielded` are the ids of the things whose bounds gave way, once the order is asked for.
    """

    def __init__(self) -> None:
        self.nodes: list[Node] = []
        self.before: list[dict[int, str]] = []
        self.rank: list[tuple[float, int]] = []
        self.yielded: tuple[str, ...] = ()
        self._at: dict[Node, int] = {}

    def add(self, node: Node, rank: tuple[float, int] = _AT_ONCE) -> int:
        """Return the place of a node that nobody does, which is added where it is new."""
        if node not in self._at:
            self._at[node] = self.add_act(node, rank)
        return self._at[node]

    def add_act(self, node: Node, rank: tuple[float, int], after: int | None = None) -> int:
        """Return the place of an act, which is added once and never asked for by its node again."""
        self.nodes.append(node)
        self.before.append({} if after is None else {after: ""})
        self.rank.append(rank)
        return len(self.nodes) - 1

    def wait(self, later: int, earlier: int, why: str = "") -> None:
        """Let one node wait for another, and say why."""
        self.before[later].setdefault(earlier, why)

    def hub(self, node: Node, first: Iterable[int], then: Iterable[int], why: str) -> None:
        """Let all of some nodes wait for all of others, by one node between them."""
        between = self.add(node)
        for earlier in first:
            self.wait(between, earlier)
        for later in then:
            self.wait(later, between, why)

    def named(self, *whats: str) -> list[str]:
        """Return of whom there are nodes of some kinds, sorted."""
        return sorted({node.of for node in self.nodes if node.what in whats})

    def order(self, soft: Callable[[], Mapping[tuple[int, int], str]]) -> list[int]:
        """Return the order; a default that would close a cycle gives way, then what is soft.

        Args:
            soft: Gives, where it comes to that, the pairs of nodes, the later one first, whose waiting yields
                to what is stated, and the thing whose it is.

        Raises:
            CycleError: The rest goes round in a circle.
        """
        order = topological_order(self.rank, self.before)
        if len(order) < len(self.nodes):
            defaults = frozenset(i for i, node in enumerate(self.nodes) if node.what in _DEFAULTS)
            drop_defaults(self.before, defaults, self._left(order))
            order = topological_order(self.rank, self.before)
        if len(order) < len(self.nodes):
            self.yielded = drop_soft(self.before, soft(), self._left(order))
            order = topological_order(self.rank, self.before)
        if len(order) < len(self.nodes):
            raise CycleError(cycle_of(self.nodes, self.before, self._left(order)))
        return order

    def _left(self, order: Iterable[int]) -> set[int]:
        return set(range(len(self.nodes))) - set(order)
