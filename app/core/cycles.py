"""Cycles among things that wait for each other."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

T = TypeVar("T")


class CycleError(ValueError):
    """Things that wait for each other; `members` is the cycle, first and last the same."""

    def __init__(self, members: Sequence[str]) -> None:
        super().__init__("these wait for each other")
        self.members = tuple(members)


def find_cycle(predecessors: Mapping[T, Iterable[T]]) -> tuple[T, ...]:
    """Return a cycle among things that wait for each other, first and last the same; empty if none.

    Args:
        predecessors: Things that can be sorted, and for each those it waits for.
    """
    done: set[T] = set()
    for start in _sorted(predecessors):
        path: dict[T, None] = {}
        stack: list[tuple[T, bool]] = [(start, False)]
        while stack:
            node, leaving = stack.pop()
            if leaving:
                path.popitem()
                done.add(node)
            elif node in path:
                members = list(path)
                return (*members[members.index(node) :], node)
            elif node not in done:
                path[node] = None
                stack.append((node, True))
                stack += [(other, False) for other in reversed(_sorted(set(predecessors.get(node, ()))))]
    return ()


def _sorted(things: Iterable[T]) -> list[T]:
    return sorted(things)  # type: ignore[type-var] # ids or acts, which sort
