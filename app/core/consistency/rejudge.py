"""The judge of sequence once a few things have changed: only what touches them is judged again."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import replace
from functools import lru_cache

from app.core.consistency.findings import Finding
from app.core.consistency.judge import judge
from app.core.consistency.scene import Scene, is_engine_oil
from app.core.items.items import Edge, Item
from app.core.items.kinds import Kind

HOPS = 4
"""How far from a changed thing a finding of its neighbours may look: over, opening, cap, successor."""


def rejudge(before: tuple[Finding, ...], scene: Scene, changed: AbstractSet[str]) -> tuple[Finding, ...]:
    """Return what `judge` finds in a scene, from what it found before some things changed.

    Args:
        before: What it found; edges, sides, phases and what is away were the same.
        scene: As it is now.
        changed: Ids of the things whose marks differ.
    """
    beside = _Beside(scene)
    near = beside.around(changed, 1)
    far = beside.around(near, HOPS)
    part = replace(
        scene,
        things={i: scene.things[i] for i in scene.things.keys() & far},
        edges=tuple(edge for edge in scene.edges if edge.frm in far and edge.to in far),
        away=scene.away & far,
    )
    kept = [each for each in before if not near & {each.item, each.other}]
    again = [each for each in judge(part) if near & {each.item, each.other}]
    found = {each.key: each for each in (*kept, *again)}
    return tuple(sorted(found.values(), key=lambda each: (each.verdict, each.key)))


class _Beside:
    """What each thing is tied to: by relations, by its fluid's system, and oil with what primes it."""

    def __init__(self, scene: Scene) -> None:
        self.tied: Mapping[str, list[str]] = _tied(scene.edges)
        self.systems: dict[str, list[str]] = defaultdict(list)
        for thing, system in scene.systems.items():
            self.systems[system].append(thing)
        kinds = scene.sides.by_kind
        for fluid in kinds.get(Kind.FLUID, ()):
            self.systems[fluid.type].append(fluid.id)
        near = (*kinds.get(Kind.FLUID, ()), *kinds.get(Kind.STEP, ()))
        self.of_oil = [item.id for item in near if _is_of_oil(item)]
        self.scene = scene

    def around(self, things: Iterable[str], hops: int) -> frozenset[str]:
        """Return these things and all that are so many ties away."""
        found = set(things)
        edge = set(found)
        for _ in range(hops):
            edge = self._next(edge) - found
            found |= edge
        return frozenset(found)

    def _next(self, edge: AbstractSet[str]) -> set[str]:
        found = {other for here in edge for other in self.tied.get(here, ())}
        items = [self.scene.things[here].item for here in edge if here in self.scene.things]
        systems = {self.scene.systems.get(item.id) or _fluid(item) for item in items}
        found.update(other for system in systems if system for other in self.systems.get(system, ()))
        if any(map(_is_of_oil, items)):
            found.update(self.of_oil)
        return found


def _is_of_oil(item: Item) -> bool:
    return item.kind is Kind.STEP or is_engine_oil(item)


def _fluid(item: Item) -> str:
    return item.type if item.kind is Kind.FLUID else ""


@lru_cache(maxsize=4)
def _tied(edges: tuple[Edge, ...]) -> Mapping[str, list[str]]:
    """Return the neighbours of each thing; what stands in one's place is as near as the one itself.

    Marks come one after the other with the same relations, so the last ones are kept.
    """
    groups = _groups(edges)
    found: dict[str, list[str]] = defaultdict(list)
    for edge in edges:
        frms, tos = groups.get(edge.frm, [edge.frm]), groups.get(edge.to, [edge.to])
        for frm in frms:
            found[frm] += tos
        for to in tos:
            found[to] += frms
    for here, members in groups.items():
        found[here] += members
    return found


def _groups(edges: Iterable[Edge]) -> Mapping[str, list[str]]:
    """Return for each thing that replaces another, or is replaced, all that stand in one place."""
    members: dict[str, list[str]] = {}
    for edge in edges:
        if edge.rel == "replaces":
            mine, theirs = members.get(edge.frm, [edge.frm]), members.get(edge.to, [edge.to])
            if mine is not theirs:
                theirs += mine
                members |= dict.fromkeys(theirs, theirs)
    return members
