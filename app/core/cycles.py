"""Cycles among things that wait for each other."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

T = TypeVar("T")


class CircleError(ValueError):
    """Things that wait for each other; `members` is the circle, first and last the same."""

    def __init__(self, members: Sequence[str]) -> None:
        super().__init__("these wait for each other")
        self.members = tuple(members)


def find_circle(waits_for: Mapping[T, Iterable[T]]) -> tuple[T, ...]:
    """Return a circle among things that wait for each other, first and last the same; empty if none.

    Args:
        waits_for: Things that can be sorted, and for each those it waits for.
    """
    done: set[T] = set()
    for start in _sorted(waits_for):
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
                stack += [(other, False) for other in reversed(_sorted(set(waits_for.get(node, ()))))]
    return ()


def _sorted(things: Iterable[T]) -> list[T]:
    return sorted(things)  # type: ignore[type-var] # ids or acts, which sort
