"""Small builds by brute force: in whatever order marks arrive, no gate is open to its act too early."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import pytest

from app.core.builds.gates import build_facts
from app.core.builds.judged import judged
from app.core.builds.snapshot import Entry, Snapshot, StepFacts
from app.core.consistency.times import times_of
from app.core.gates.by_phase import lines_for
from app.core.gates.gates import Gate, GateFacts
from app.core.items.items import Edge
from app.core.items.journal import Line
from app.core.items.roles import Role
from app.core.items.state import fold
from app.core.ledger.ledger import why_open, word, work_act
from app.core.phases.routes import Route
from app.core.phases.swap import chosen_swap
from tests.story.builds import SWAP, item_of
from tests.story.mechanic import DONE, ENGINE, LOOKED, OFF, STARTED, Event, Mark, Mechanic, Thing

STEPS = {"first_drive": Role.MOVE, "hood": Role.NONE, "first_start": Role.FIRST_START, "drain": Role.DRAIN}
STEPS |= {"radiator": Role.JOINTS, "bellhousing": Role.MATING, "lift_out": Role.LIFT, "mate": Role.BENCH}
"""In the order of taking off."""
ACTS = {
    "connection": {OFF: "off", STARTED: "seated", DONE: "routed", LOOKED: "checked"},
    "fastener": {OFF: "off", STARTED: "hand_tight", DONE: "tight", LOOKED: "checked"},
    "part": {OFF: "off", DONE: "placed"},
    "fluid": {OFF: "drained", DONE: "filled", LOOKED: "checked"},
    "temporary": {OFF: "fitted", DONE: "out"},
}
OF_THE_OLD = frozenset({"hook_up", "rise", "landed"})
"""What is told of the engine that was in at first."""


@dataclass(frozen=True)
class Chain:
    """What one person says of one thing or of the engine, one after the other.

    Args:
        of: A thing's key, or `engine`.
        said: Levels, or milestones.
        person: Who. Their own lines they always see.
        saw: Of a phone out of reach, the lines that it had seen when it left; `None` for one in reach, which
            sees all that arrived.
    """

    of: str
    said: tuple[str, ...]
    person: str = "Ada"
    saw: tuple[str, ...] | None = None


def off_and_on(*keys: str) -> tuple[Chain, ...]:
    return tuple(Chain(key, (OFF, DONE)) for key in keys)


class Small:
    """A build of a few things, told line by line to the product's core and to the mechanic."""

    def __init__(self, route: str, things: Sequence[Thing], gates: str) -> None:
        self.things = {thing.key: thing for thing in things}
        self.mechanic = Mechanic(route, self.things)
        swap = chosen_swap(Route(route), Route(route), new_engine=route != "none", gearbox=route != "none")
        items = [replace(item_of(each, each.step), id=each.key, number=n) for n, each in enumerate(things, 1)]
        self.items = {item.id: item for item in items}
        self.folded: dict[object, Entry] = {}
        self.units: dict[object, Any] = {}
        self.lines: dict[str, list[Line]] = {key: [] for key in (*self.things, "engine")}
        steps = tuple(
            StepFacts(key, at, key, "wheels", 1, 10, "both", (), 1, role=role)
            for at, (key, role) in enumerate(STEPS.items())
        )
        edges = tuple(
            Edge(key, rel, to)
            for key, thing in self.things.items()
            for rel in ("holds", "joins", "seals", "closes")
            for to in getattr(thing, rel)
            if to in self.things
        )
        self.build = Snapshot(
            0, "b", 1, "", "", "", "N·m", "us", 1, (), steps,
            {key: self._entry(key) for key in self.things}, edges, {}, {}, {}, said_swap=swap,
        )  # fmt: skip
        self.gates = [Gate(key, "", "") for key in gates.split()]

    def _entry(self, key: str) -> Entry:
        """Return a thing as it stands; the same lines at the same places are folded once."""
        item, lines = self.items[key], self.lines[key]
        said = (key, *((line.id, line.seq) for line in lines))
        if said not in self.folded:
            state = fold(item.kind, item.positions, lines, work=work_act(item))
            open_, times = why_open(item, state), times_of(item, lines)
            self.folded[said] = Entry(item, state, open_, word(item, state), 1, times)
        return self.folded[said]

    def say(self, chain: Chain, nth: int) -> None:
        """Let one line of a chain arrive."""
        row, said = self.lines[chain.of], chain.said[nth]
        own = {f"{chain.of} {chain.person} {n}" for n in range(nth)}
        seen = frozenset({line.id for line in row} if chain.saw is None else {*chain.saw, *own})
        line = Line(f"{chain.of} {chain.person} {nth}", "", "mark", after=seen, person=chain.person)
        line = replace(line, seq=1 + sum(map(len, self.lines.values())))
        if chain.of == "engine":
            line = replace(line, subject="build:b", verb=said, body={"units": self._units(said)})
            self.mechanic.events.append(Event(line.id, said, seen))
        else:
            body = {"act": ACTS[self.things[chain.of].kind][said]}
            line = replace(line, subject=f"item:{chain.of}", body=body)
            self.mechanic.marks.setdefault(chain.of, []).append(Mark(line.id, said, line.person, seen))
        row.append(line)
        self._follow(chain.of)

    def unsay(self, chain: Chain, before: Snapshot) -> None:
        """Let the last line about something not have arrived."""
        self.lines[chain.of].pop()
        (self.mechanic.events if chain.of == "engine" else self.mechanic.marks[chain.of]).pop()
        self.build = before

    def _follow(self, of: str) -> None:
        if of == "engine":
            told = tuple(self.lines[of])
            self.build = self._kept(replace(self.build, milestones=told), "swap", "sides", "barriers")
            ids = tuple(line.id for line in told)
            if ids not in self.units:
                self.units[ids] = self.build.phases
            self.build.__dict__["phases"] = self.units[ids]
        else:
            entries = {**self.build.entries, of: self._entry(of)}
            now = replace(self.build, entries=entries)
            self.build = self._kept(now, "swap", "sides", "barriers", "phases")

    def _kept(self, now: Snapshot, *names: str) -> Snapshot:
        """Return a build with what follows from none of its marks as it was worked out before."""
        for name in names:
            now.__dict__[name] = getattr(self.build, name)
        return now

    def _units(self, verb: str) -> list[str]:
        together = ["gearbox"] * (not self.mechanic.meets_in_vehicle)
        if verb == "mating":
            return ["new", "gearbox"]
        return ["old" if verb in OF_THE_OLD else "new", *together]

    @property
    def arrived(self) -> list[str]:
        """What came, in its order."""
        rows = [line for row in self.lines.values() for line in row]
        return [f"{line.id} {line.verb} {line.body}" for line in sorted(rows, key=lambda line: line.seq)]

    def open_gates(self) -> set[str]:
        """Return the gates that nothing but their questions keeps shut; hold that the mechanic agrees."""
        facts = build_facts(judged(self.build), GateFacts())
        found = {gate.key for gate in self.gates if lines_for(gate, facts).is_clear}
        for key in found:
            red = () if self.mechanic.is_behind(key) else self.mechanic.red(key)
            assert not red, (key, red, self.arrived)
        return found


def arrivals(small: Small, chains: Sequence[Chain], at: tuple[int, ...]) -> Iterator[set[str]]:
    """Yield the open gates after each arrival, in all orders in which the chains can come."""
    yield small.open_gates()
    for n, chain in enumerate(chains):
        if at[n] < len(chain.said):
            before = small.build
            small.say(chain, at[n])
            yield from arrivals(small, chains, (*at[:n], at[n] + 1, *at[n + 1 :]))
            small.unsay(chain, before)


UNSAID = Thing("lost", "fastener", None, "hood", n=1)
FILTER = Thing("filter", "part", ENGINE, "drain", when="engine", system="engine oil")
RAG = Thing("rag", "temporary", frozenset(), "mate", when="engine", closes=("manifold",))


@dataclass(frozen=True)
class Case:
    """A small build.

    Args:
        things: Keys of `SWAP`, or things.
        gates: Those that are looked at; each of them opens in some order.
    """

    route: str
    things: tuple[str | Thing, ...]
    chains: tuple[Chain, ...]
    gates: str


CASES = {
    "mounts, and a hose that two join": Case(
        "engine_up",
        ("hose", "mounts"),
        (
            *off_and_on("hose"),
            Chain("hose", (DONE,), "Ben", ("hose Ada 0",)),
            Chain("mounts", (OFF, STARTED)),
            Chain("engine", ("hook_up", "rise")),
        ),
        "hook_up lift",
    ),
    "a clutch that mating hides, looked at by another": Case(
        "engine_up",
        ("cover", "housing", "mounts"),
        (
            *off_and_on("cover"),
            Chain("cover", (LOOKED,), "Ben"),
            Chain("housing", (OFF,)),
            Chain("engine", ("rise", "lift_in", "mating")),
        ),
        "mating lift_in",
    ),
    "up together, bolts that two tighten": Case(
        "together_up",
        ("housing", "hose"),
        (
            Chain("housing", (OFF, DONE)),
            Chain("housing", (DONE, LOOKED), "Ben", ("housing Ada 0",)),
            Chain("engine", ("rise", "mating", "lift_in")),
        ),
        "mating lift_in",
    ),
    "a manifold over a gasket and a rag": Case(
        "none",
        ("manifold", "gasket", "nuts", RAG),
        (*off_and_on("manifold", "gasket", "rag"), Chain("nuts", (DONE,), "Ben")),
        "start",
    ),
    "oil, its plug and its filter, filled by two": Case(
        "none",
        ("oil", "drain", FILTER),
        (
            *off_and_on("filter", "oil"),
            Chain("oil", (DONE, LOOKED), "Ben", ("oil Ada 0",)),
            Chain("drain", (OFF,)),
        ),
        "start",
    ),
    "what nobody said, and a hook told by two": Case(
        "engine_up",
        (UNSAID, "mounts", "hose"),
        (
            *off_and_on("lost"),
            Chain("hose", (OFF,)),
            Chain("mounts", (OFF,)),
            Chain("engine", ("hook_up", "rise")),
            Chain("engine", ("landed",), "Ben", ()),
        ),
        "hook_up lift",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_in_no_order_of_arrival_is_a_gate_open_that_the_mechanic_calls_red(name: str) -> None:
    case = CASES[name]
    things = [SWAP[each] if isinstance(each, str) else each for each in case.things]
    small, opened = Small(case.route, things, case.gates), set[str]()
    for found in arrivals(small, case.chains, (0,) * len(case.chains)):
        opened |= found
    assert opened == set(case.gates.split())
