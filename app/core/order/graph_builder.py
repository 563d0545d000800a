"""Weaving the graph of acts from the plan."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from app.core.cycles import CircleError, find_circle
from app.core.items.items import BLOCKING
from app.core.items.kinds import Kind
from app.core.order.acts import (
    BEGIN,
    CHECK,
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
    OUT,
    PLACE,
    TWICE,
    Detour,
    Plan,
    Point,
    Thing,
)
from app.core.order.components import knots
from app.core.order.graph import GROUND_LAST, IN_STEP, START_ALL, STATED, Graph
from app.core.order.replacements import StandIns
from app.core.order.reverse import Reverse
from app.core.order.sorting import circle_among, first_possible

_DEFAULTS = frozenset({LAID, JOINT, LIVE})
_AT_ONCE = (-1.0, 0)


def weave(plan: Plan) -> Graph:
    """Return the graph of putting back.

    Every edge is reversed; what does not go back is dropped; a replacement stands where the replaced one
    stood and takes over its edges (what it holds, joins and covers itself goes before what the old one
    did). Time decides between what could come next, and blocks nothing. Defaults, which what is stated
    overrules: all groups of a joint are started before one is finished, the battery's ground cable is
    joined last, what is tightened in a later step waits for that step's things.

    Raises:
        CircleError: What is stated goes round in a circle; `members` are ids of items and steps.
    """
    return _Loom(plan).woven()


def circle_in(plan: Plan) -> tuple[str, ...]:
    """Return ids of items and steps that would wait for each other, first and last the same; empty if none.

    Every item counts, whatever has become of it, so that no later decision closes a circle.
    """
    if itself := next((e.frm for e in plan.edges if e.frm == e.to and e.rel in BLOCKING), ""):
        return (itself, itself)
    replacing = tuple(edge for edge in plan.edges if edge.rel == "replaces")
    if circle := circle_among(replacing):
        return circle
    everything = replace(plan, things=tuple(replace(thing, goes_back=True) for thing in plan.things))
    before = replace(everything, edges=tuple(edge for edge in plan.edges if edge.rel != "replaces"))
    try:
        weave(everything)
        if replacing:
            weave(before)
    except CircleError as error:
        return error.members
    return ()


class _Loom:
    """Builds one graph."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.points: list[Point] = []
        self.at: dict[Point, int] = {}
        self.before: list[list[int]] = []
        self.why: list[list[str]] = []
        self.rank: list[tuple[float, int]] = []
        self.steps = {step.id: step for step in plan.steps if step.direction != "off_only"}
        self.stand_ins = StandIns(plan)
        self.ties = tuple(self.stand_ins.edges())
        self.things = {thing.id: thing for thing in plan.things if self.stand_ins.is_back(thing.id)}
        self.detours = _by_item(d for d in plan.detours if d.step in self.steps and d.item in self.things)
        self.place: dict[str, int] = {}
        self.finish: dict[str, int] = {}
        self.in_step: dict[str, list[int]] = defaultdict(list)

    def woven(self) -> Graph:
        reverse = Reverse(self.plan, self.things, self.stand_ins)
        for thing in self.things.values():
            self._lay(thing, reverse)
        self._tie()
        self._join()
        self._ground()
        self._steps()
        order = self._sorted()
        return Graph(
            tuple(self.points),
            tuple(map(tuple, self.before)),
            tuple(map(tuple, self.why)),
            tuple(order),
            tuple(self.rank),
            tuple(d for detours in self.detours.values() for d in detours),
        )

    def _add(self, point: Point, rank: tuple[float, int] = _AT_ONCE) -> int:
        if point not in self.at:
            self.at[point] = len(self.points)
            self.points.append(point)
            self.before.append([])
            self.why.append([])
            self.rank.append(rank)
        return self.at[point]

    def _wait(self, later: int, earlier: int, why: str = "") -> None:
        self.before[later].append(earlier)
        self.why[later].append(why)

    def _lay(self, thing: Thing, reverse: Reverse) -> None:
        """Add an item's own acts, each after the one before it."""
        chain: list[int] = []

        def act(what: str, nth: int, step: str, rank: float) -> None:
            point = self._add(Point(thing.id, what, nth), (rank, len(chain)))
            if step in self.steps and what != CHECK:  # a second look ends no step: nothing waits for it
                self.in_step[step].append(point)
            if chain:
                self._wait(point, chain[-1])
            chain.append(point)

        own, fittings = reverse.of_thing[thing.id], 1
        last: tuple[str, float] = (thing.step, own)
        for detour in self.detours.get(thing.id, ()):
            if detour.what in {TWICE, DURING}:
                early = reverse.start_of_step(detour.step)
                if detour.what == TWICE:
                    act(PLACE, fittings, detour.step, early)
                act(OUT, fittings, detour.step, early)
                fittings += 1
            else:
                last = (detour.step, reverse.end_of_step(detour.step))
        act(PLACE, fittings, thing.step, own)
        self.place[thing.id] = self.finish[thing.id] = chain[-1]
        if thing.finishes:
            act(FINISH, 1, *last)
            self.finish[thing.id] = chain[-1]
        if thing.looked_at:
            act(CHECK, 1, *last)

    def _is_later(self, item: str) -> bool:
        return any(detour.what in {LATER, LOOSENED} for detour in self.detours.get(item, ()))

    def _tie(self) -> None:
        """Reverse what holds, joins and covers; what is covered is finished before, unless it is stated."""
        for frm, rel, to in self.ties:
            reached = self.place if rel != "covers" or self._is_later(to) else self.finish
            self._wait(self.place[frm], reached[to], rel)

    def _join(self) -> None:
        """Start all groups of a joint before one is finished."""
        joints: dict[str, list[str]] = defaultdict(list)
        for frm, rel, to in self.ties:
            if rel == "holds" and self.things[frm].kind is Kind.FASTENER:
                joints[to].append(frm)
        for held, groups in joints.items():
            if len(groups) > 1:
                self._hub(Point(held, JOINT), groups, [self.finish[group] for group in groups], START_ALL)

    def _ground(self) -> None:
        """Join the battery's ground cable after all else that carries current."""
        grounds = [thing.id for thing in self.things.values() if thing.current == GROUND]
        others = [thing.id for thing in self.things.values() if thing.current == ELECTRIC]
        if grounds and others:
            self._hub(Point("", LIVE), others, [self.place[ground] for ground in grounds], GROUND_LAST)

    def _hub(self, point: Point, first: Iterable[str], then: Iterable[int], why: str) -> None:
        hub = self._add(point)
        for item in first:
            self._wait(hub, self.place[item])
        for later in then:
            self._wait(later, hub, why)

    def _steps(self) -> None:
        """Give the steps that are named their start and end, and tie these."""
        for edge in self.plan.step_edges:
            if edge.before in self.steps and edge.after in self.steps:
                end, begin = self._add(Point(edge.before, END)), self._add(Point(edge.after, BEGIN))
                self._wait(begin, end, STATED + edge.reason)
        named = {self.points[i].of for i in range(len(self.points)) if self.points[i].what in {BEGIN, END}}
        for step in sorted(named):
            begin, end = self._add(Point(step, BEGIN)), self._add(Point(step, END))
            if not self.in_step[step]:
                self._wait(end, begin)
            for point in self.in_step[step]:
                self._wait(point, begin)
                self._wait(end, point)
        for step in self.steps:
            if step in self.place:  # on the way back only: it is done when all in it is
                for point in self.in_step[step]:
                    if self.points[point].of != step:
                        self._wait(self.place[step], point, IN_STEP)
        self._defer()

    def _defer(self) -> None:
        """Let what is tightened in a later step wait until that step's own things are in position."""
        later: dict[str, list[int]] = defaultdict(list)
        for item, detours in self.detours.items():
            for detour in detours:
                if detour.what in {LATER, LOOSENED}:
                    later[detour.step].append(self.finish[item])
        laid = _by_step(thing for thing in self.things.values() if thing.step in later)
        for step, points in later.items():
            things = [thing for thing in laid.get(step, ()) if thing != step]
            self._hub(Point(step, LAID), things, points, IN_STEP)

    def _sorted(self) -> list[int]:
        """Return the order; a default that would close a circle gives way."""
        order = first_possible(self.rank, self.before)
        if len(order) < len(self.points):
            self._give_way(set(range(len(self.points))) - set(order))
            order = first_possible(self.rank, self.before)
        if len(order) < len(self.points):
            raise CircleError(self._circle(set(range(len(self.points))) - set(order)))
        return order

    def _give_way(self, left: set[int]) -> None:
        """Take out what leads from a knot into the defaults that are part of it."""
        for knot in knots(self.before, left):
            for i in knot:
                if self.points[i].what in _DEFAULTS:
                    self.before[i] = [other for other in self.before[i] if other not in knot]
                    self.why[i] = [""] * len(self.before[i])

    def _circle(self, left: set[int]) -> tuple[str, ...]:
        """Return a circle as ids, first and last the same."""
        points = find_circle(
            {self.points[i]: [self.points[other] for other in self.before[i]] for i in sorted(left)}
        )
        ids = [point.of for point in points]
        members = [own for nth, own in enumerate(ids) if not nth or own != ids[nth - 1]]
        return tuple(members if len(members) > 1 and members[0] == members[-1] else [*members, members[0]])


def _by_item(detours: Iterable[Detour]) -> dict[str, list[Detour]]:
    found: dict[str, list[Detour]] = defaultdict(list)
    for detour in sorted(detours, key=lambda d: (d.item, d.what)):
        found[detour.item].append(detour)
    return dict(found)


def _by_step(things: Iterable[Thing]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for thing in things:
        found[thing.step].append(thing.id)
    return dict(found)
