"""The plain reverse of the steps, the first order that respects what must be before, and cycles."""

from bisect import bisect
from collections.abc import Collection, Iterable, Mapping, Sequence
from heapq import heapify, heappop, heappush
from math import inf
from typing import Any

from app.core.cycles import find_cycle
from app.core.items.items import BLOCKING, Edge

Removal = tuple[int, int]
"""When something came off: the index of its step in the plan, in the order of taking off, -1 where unknown;
and the number of the mark, 0 for what never came off (steps of the way back, what is new)."""


def topological_order(rank: Sequence[Any], before: Sequence[Collection[int]]) -> list[int]:
    """Return the places 0, 1, … in the order of their ranks, each no sooner than all that must be before it.

    What waits for itself, directly or through others, and all that waits for such is left out.

    Args:
        rank: For each place what decides between those that could come next; alike, the earlier place.
        before: For each place those that come before it, each once.
    """
    by_rank = sorted(range(len(rank)), key=rank.__getitem__)
    turn = [0] * len(by_rank)
    for nth, place in enumerate(by_rank):
        turn[place] = nth
    waits = [len(first) for first in before]
    followers: list[list[int]] = [[] for _ in before]
    for place, first in enumerate(before):
        for other in first:
            followers[other].append(place)
    ready = [turn[place] for place, count in enumerate(waits) if not count]
    heapify(ready)
    order: list[int] = []
    while ready:
        place = by_rank[heappop(ready)]
        order.append(place)
        for follower in followers[place]:
            waits[follower] -= 1
            if not waits[follower]:
                heappush(ready, turn[follower])
    return order


def plain_reverse(everything: Mapping[str, Removal], olds: Mapping[str, str]) -> dict[str, int]:
    """Return each id's place in the plain reverse, 0 for the first to go back.

    The steps go back in their order reversed. Inside a step, and nowhere else, the clock counts: what came
    off last goes back first, and what never came off before it. What came off in no known step goes with
    the step in which work was then.

    Args:
        everything: All of which the order is asked.
        olds: New id -> the old one at whose place it stands.
    """
    off = sorted((off_seq, step) for step, off_seq in everything.values() if off_seq and step >= 0)

    def reverse_of(node: str) -> tuple[int, float, str, str]:
        old = end_of(node, olds) if node in olds else node
        step, off_seq = everything[old]
        if step < 0 and off_seq and (at := bisect(off, (off_seq, inf))):
            step = off[at - 1][1]
        return (step, off_seq or inf, old, node)

    ordered = sorted(everything, key=reverse_of, reverse=True)
    return {node: rank for rank, node in enumerate(ordered)}


def end_of(start: str, links: Mapping[str, str]) -> str:
    """Return where links from one id to the next lead: such as from the old one to what stands there now."""
    seen = {start}
    while (following := links.get(start, start)) not in seen:
        seen.add(following)
        start = following
    return start


def cycle_among(edges: Iterable[Edge]) -> tuple[str, ...]:
    """Return things that would wait for each other, first and last the same; empty if none.

    Things that replace each other count, and what a replacement takes over from the old one.
    """
    known = tuple(edges)
    stands_for = {edge.to: edge.frm for edge in known if edge.rel == "replaces"}
    held = [(edge.frm, edge.to) for edge in known if edge.rel in BLOCKING]
    taken_over = [(end_of(frm, stands_for), end_of(to, stands_for)) for frm, to in held]
    return (
        find_cycle(_grouped((edge.frm, edge.to) for edge in known if edge.rel == "replaces"))
        or find_cycle(_grouped(held))
        or find_cycle(_grouped((frm, to) for frm, to in taken_over if frm != to))
    )


def _grouped(pairs: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for frm, to in pairs:
        found.setdefault(frm, []).append(to)
    return found
