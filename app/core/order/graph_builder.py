"""Building the graph of acts from the plan."""

from collections import defaultdict
from collections.abc import Iterable
from itertools import pairwise

from app.core.items.kinds import Kind
from app.core.order.acts import (
    BEGIN,
    CHECK,
    CLOSED,
    DURING,
    ELECTRIC,
    END,
    FINISH,
    GROUND,
    JOINT,
    LAID,
    LATER,
    LIVE,
    LOOSENED,
    MILESTONE,
    OUT,
    PLACE,
    SETTLED,
    TWICE,
    InstallException,
    Node,
    Plan,
    Thing,
)
from app.core.order.draft import Draft
from app.core.order.graph import (
    CIRCUIT_CLOSED,
    GROUND_LAST,
    HOUSING_FIRST,
    IN_STEP,
    MOUNTS_LAST,
    START_ALL,
    STATED,
    STUD_FIRST,
    Graph,
)
from app.core.order.replacements import Replacements
from app.core.order.reverse import Reverse
from app.core.phases.barriers import LOOKED, PLACED, WORKED, Barrier

OPENINGS = frozenset({"seals", "closes"})
"""Relations whose second member goes back after the first: a gasket, a cap that comes out."""

_IN_THE_VEHICLE = frozenset({"first_start", "moved"})
"""What is tightened in a later step is tight by then, though not by the lift."""


def build_graph(plan: Plan) -> Graph:
    """Return the graph of putting back.

    Every edge is reversed; what does not go back is dropped; a replacement stands where the replaced one
    stood and takes over its edges (what it holds, joins and covers itself goes before what the old one
    did). Milestones and what is stated never yield. The order of the steps, and inside a step the clock,
    decides between what could come next, and blocks nothing. Defaults, which what is stated
    overrules: all groups of a joint are started before one is finished, the battery's ground cable is
    joined last, the mounts are tightened after exhaust and shafts, what is tightened in a later step waits
    for that step's things.

    Raises:
        CycleError: What is stated goes round in a circle; `members` are ids of items and steps.
    """
    return GraphBuilder(plan).build()


class GraphBuilder:
    """Builds one graph."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.draft = Draft()
        self.steps = {step.id: step for step in plan.steps if step.direction != "off_only"}
        self.replacements = Replacements(plan)
        self.ties = tuple(self.replacements.edges())
        self.things = {thing.id: thing for thing in plan.things if self.replacements.is_back(thing.id)}
        self.install_exceptions = _by_item(
            d for d in plan.install_exceptions if d.step in self.steps and d.item in self.things
        )
        self.later = {
            item
            for item, own in self.install_exceptions.items()
            if any(exception.what in {LATER, LOOSENED} for exception in own)
        }
        self.place: dict[str, int] = {}
        self.finish: dict[str, int] = {}
        self.last: dict[str, int] = {}
        self.reached = {PLACED: self.place, WORKED: self.finish, LOOKED: self.last}
        self.in_step: dict[str, list[int]] = defaultdict(list)

    def build(self) -> Graph:
        """Return the graph."""
        reverse = Reverse(self.plan, self.things, self.replacements)
        for thing in self.things.values():
            self._lay(thing, reverse)
        self._tie()
        self._join()
        self._ground()
        self._fill()
        self._settle()
        self._bound()
        self._steps()
        order = self.draft.order(self._yielding)
        return Graph(
            tuple(self.draft.nodes),
            tuple(map(tuple, self.draft.before)),
            tuple(map(tuple, map(dict.values, self.draft.before))),
            tuple(order),
            tuple(self.draft.rank),
            tuple(d for install_exceptions in self.install_exceptions.values() for d in install_exceptions),
            tuple(item for item in self.plan.unsaid if item in self.things),
            self.draft.yielded,
        )

    def _lay(self, thing: Thing, reverse: Reverse) -> None:
        """Add an item's own acts, each after the one before it."""
        item, own = thing.id, reverse.of_thing[thing.id]
        last: tuple[str, float] = (thing.step, own)
        fittings, at = 1, None
        for exception in self.install_exceptions.get(item, ()):
            if exception.what in {TWICE, DURING}:
                early = reverse.start_of_step(exception.step)
                if exception.what == TWICE:
                    at = self._act(Node(item, PLACE, fittings), exception.step, early, at)
                at = self._act(Node(item, OUT, fittings), exception.step, early, at)
                fittings += 1
            else:
                last = (exception.step, reverse.end_of_step(exception.step))
        at = self.place[item] = self.finish[item] = self._act(
            Node(item, PLACE, fittings), thing.step, own, at
        )
        if thing.finishes:
            at = self.finish[item] = self._act(Node(item, FINISH), *last, at)
        if thing.looked_at:
            at = self._act(Node(item, CHECK), *last, at)
        self.last[item] = at

    def _act(self, node: Node, step: str, rank: float, after: int | None) -> int:
        """Add an act of an item, after its act before, and return its place."""
        nth = 0 if after is None else self.draft.rank[after][1] + 1
        place = self.draft.add_act(node, (rank, nth), after)
        if step in self.steps and node.what != CHECK:  # a second look ends no step: nothing waits for it
            self.in_step[step].append(place)
        return place

    def _tie(self) -> None:
        """Reverse what holds, joins and covers; what is covered is finished before, unless it is stated."""
        for frm, rel, to in self.ties:
            if rel == "holds" and self.things[frm].is_stud:
                self.draft.wait(self.place[to], self.finish[frm], STUD_FIRST)
                continue
            reached = self.place if rel != "covers" or to in self.later else self.finish
            self.draft.wait(self.place[frm], reached[to], rel)
        for edge in self.plan.edges:
            if edge.rel in OPENINGS:
                self._follow(edge.to, edge.frm, edge.rel)
        for said in self.plan.goes_after:
            self._follow(said.item, said.after, STATED + said.reason, finished=True)

    def _follow(self, later: str, earlier: str, why: str, *, finished: bool = False) -> None:
        """Place one thing after another, or after what stands in its place.

        Of a group it is enough that it is in position: it may be tightened with what goes on after it.
        """
        for frm in self.replacements.of(later):
            for to in self.replacements.of(earlier):
                if frm != to and frm in self.place and to in self.place:
                    whole = finished and self.things[to].kind is not Kind.FASTENER
                    self.draft.wait(self.place[frm], (self.finish if whole else self.place)[to], why)

    def _join(self) -> None:
        """Start all groups of a joint before one is finished."""
        joints: dict[str, list[str]] = defaultdict(list)
        for frm, rel, to in self.ties:
            if rel == "holds" and self.things[frm].kind is Kind.FASTENER and not self.things[frm].is_stud:
                joints[to].append(frm)
        for held, groups in joints.items():
            if len(groups) > 1:
                started = [self.place[group] for group in groups]
                self.draft.hub(
                    Node(held, JOINT), started, [self.finish[group] for group in groups], START_ALL
                )

    def _ground(self) -> None:
        """Join the battery's ground cable after all else that carries current."""
        grounds = [self.place[thing.id] for thing in self.things.values() if thing.current == GROUND]
        others = [self.finish[thing.id] for thing in self.things.values() if thing.current == ELECTRIC]
        if grounds and others:
            self.draft.hub(Node("", LIVE), others, grounds, GROUND_LAST)

    def _fill(self) -> None:
        """Fill a fluid after all of its circuit is closed."""
        circuits: dict[str, list[int]] = defaultdict(list)
        for thing in self.things.values():
            if thing.system and thing.kind is not Kind.FLUID:
                circuits[thing.system].append(self.finish[thing.id])
        for thing in self.things.values():
            if thing.kind is Kind.FLUID and thing.system in circuits:
                hub = self.draft.add(Node(thing.id, CLOSED))
                self.draft.wait(self.place[thing.id], hub, CIRCUIT_CLOSED)
                for closed in circuits[thing.system]:
                    self.draft.wait(hub, closed)

    def _settle(self) -> None:
        """Tighten the mounts after exhaust and shafts, put a converter's bolts in after the housing's."""
        said = self.plan.settling
        later = {each.item for each in self.plan.goes_after if each.after in said.mounts}
        pulls = [self.finish[each] for each in said.pulls if each in self.things and each not in later]
        mounts = [self.finish[each] for each in said.mounts if each in self.things]
        if pulls and mounts:
            self.draft.hub(Node("", SETTLED), pulls, mounts, MOUNTS_LAST)
        housings = [self.finish[each] for each in said.housings if each in self.things]
        converters = [self.place[each] for each in said.converters if each in self.things]
        if housings and converters:
            self.draft.hub(Node("", SETTLED, 2), housings, converters, HOUSING_FIRST)

    def _bound(self) -> None:
        """Put the milestones one after the other, and each thing on its side of them."""
        nodes = {word: self.draft.add(Node(word, MILESTONE)) for word in self.plan.milestones}
        for first, then in pairwise(nodes.values()):
            self.draft.wait(then, first, MILESTONE)
        for item, bounds in self.plan.barriers.items():
            if item not in self.things:
                continue
            for bound in bounds:
                if bound.milestone in nodes:
                    later, earlier = self._sides_of(item, bound, nodes[bound.milestone])
                    self.draft.wait(later, earlier, MILESTONE)

    def _yielding(self) -> dict[tuple[int, int], str]:
        """Return the bounds that yield to what is stated: the later node, the earlier, and whose it is."""
        nodes = {word: self.draft.add(Node(word, MILESTONE)) for word in self.plan.milestones}
        return {
            self._sides_of(item, bound, nodes[bound.milestone]): item
            for item, bounds in self.plan.barriers.items()
            if item in self.things
            for bound in bounds
            if bound.milestone in nodes and not bound.is_firm
        }

    def _sides_of(self, item: str, bound: Barrier, milestone: int) -> tuple[int, int]:
        """Return the two nodes of a bound, the later one first."""
        if not bound.is_before:
            return (self.finish if bound.what == WORKED else self.place)[item], milestone
        if item in self.later and bound.milestone not in _IN_THE_VEHICLE:
            return milestone, self.place[item]
        return milestone, self.reached[bound.what][item]

    def _steps(self) -> None:
        """Give the steps that are named their start and end, and tie these."""
        for edge in self.plan.step_edges:
            if edge.before in self.steps and edge.after in self.steps:
                end, begin = self.draft.add(Node(edge.before, END)), self.draft.add(Node(edge.after, BEGIN))
                self.draft.wait(begin, end, STATED + edge.reason)
        for step in self.draft.named(BEGIN, END):
            begin, end = self.draft.add(Node(step, BEGIN)), self.draft.add(Node(step, END))
            if not self.in_step[step]:
                self.draft.wait(end, begin)
            for node in self.in_step[step]:
                self.draft.wait(node, begin)
                self.draft.wait(end, node)
        for step in self.steps:
            if step in self.place:  # on the way back only: it is done when all in it is
                for node in self.in_step[step]:
                    if self.draft.nodes[node].of != step:
                        self.draft.wait(self.place[step], node, IN_STEP)
        self._defer()

    def _defer(self) -> None:
        """Let what is tightened in a later step wait until that step's own things are in position."""
        later: dict[str, list[int]] = defaultdict(list)
        for item, install_exceptions in self.install_exceptions.items():
            for exception in install_exceptions:
                if exception.what in {LATER, LOOSENED}:
                    later[exception.step].append(self.finish[item])
        laid = _by_step(thing for thing in self.things.values() if thing.step in later)
        for step, nodes in later.items():
            things = [self.place[thing] for thing in laid.get(step, ()) if thing != step]
            self.draft.hub(Node(step, LAID), things, nodes, IN_STEP)


def _by_item(install_exceptions: Iterable[InstallException]) -> dict[str, list[InstallException]]:
    found: dict[str, list[InstallException]] = defaultdict(list)
    for exception in sorted(install_exceptions, key=lambda d: (d.item, d.what)):
        found[exception.item].append(exception)
    return dict(found)


def _by_step(things: Iterable[Thing]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for thing in things:
        found[thing.step].append(thing.id)
    return dict(found)
