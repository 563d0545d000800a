"""The judge of sequence once a few things have changed: only what touches them is judged again."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import replace

from app.core.consistency.findings import Finding
from app.core.consistency.judge import judge
from app.core.consistency.scene import Scene
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
        self.tied: Mapping[str, list[str]] = _tied(scene)
        self.systems: dict[str, list[str]] = defaultdict(list)
        for thing, system in scene.systems.items():
            self.systems[system].append(thing)
        self.of_oil = [i for i, thing in scene.things.items() if thing.item.kind in {Kind.FLUID, Kind.STEP}]
        for i in self.of_oil:
            if scene.things[i].item.kind is Kind.FLUID:
                self.systems[scene.things[i].item.type].append(i)
        self.scene = scene

    def around(self, things: Iterable[str], hops: int) -> frozenset[str]:
        """Return these things and all that are so many ties away."""
        found = set(things)
        edge = set(found)
        for _ in range(hops):
            edge = {other for here in edge for other in self._next(here)} - found
            found |= edge
        return frozenset(found)

    def _next(self, here: str) -> Iterable[str]:
        yield from self.tied.get(here, ())
        thing = self.scene.things.get(here)
        if thing is None:
            return
        if system := self.scene.systems.get(here) or (
            thing.item.type if thing.item.kind is Kind.FLUID else ""
        ):
            yield from self.systems.get(system, ())
        if thing.item.kind in {Kind.FLUID, Kind.STEP}:
            yield from self.of_oil


def _tied(scene: Scene) -> Mapping[str, list[str]]:
    """Return the neighbours of each thing; what stands in one's place is as near as the one itself."""
    groups = _groups(scene)
    found: dict[str, list[str]] = defaultdict(list)
    for edge in scene.edges:
        frms, tos = groups.get(edge.frm, [edge.frm]), groups.get(edge.to, [edge.to])
        for frm in frms:
            found[frm] += tos
        for to in tos:
            found[to] += frms
    for here, members in groups.items():
        found[here] += members
    return found


def _groups(scene: Scene) -> Mapping[str, list[str]]:
    """Return for each thing that replaces another, or is replaced, all that stand in one place."""
    members: dict[str, list[str]] = {}
    for edge in scene.edges:
        if edge.rel == "replaces":
            mine, theirs = members.get(edge.frm, [edge.frm]), members.get(edge.to, [edge.to])
            if mine is not theirs:
                theirs += mine
                members |= dict.fromkeys(theirs, theirs)
    return members
