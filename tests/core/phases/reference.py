"""A mechanic's model of a build, written from the rules of order and without the product's functions.

Things are told by hand: what each ties, and when it goes back. Marks are replayed one after the other.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

OFF, STARTED, DONE, LOOKED = "off", "started", "done", "looked"
ON, ASIDE, UNUSED, LEFT_OUT = "on", "aside", "unused", "left_out"
LEAVES = {
    "engine_up": {"engine"},
    "together_up": {"engine", "gearbox"},
    "subframe_down": {"engine", "gearbox", "subframe"},
    "none": set[str](),
}


@dataclass(frozen=True)
class Known:
    """A thing as a mechanic knows it.

    Args:
        ties: The kinds of units that it joins; empty for what joins nothing, `None` where nobody said.
        when: `bench`, `clutch` (mating hides it), `mating`, `cart`, `mounts`, `after` (the landing),
            `vehicle`, `fluid`, `temporary`.
        holds: What it holds.
        seals, closes: What it is under, or in the opening of.
        circuit: The fluid that it keeps in.
    """

    name: str
    when: str
    ties: frozenset[str] | None = frozenset()
    kind: str = "fastener"
    critical: bool = False
    holds: str = ""
    seals: str = ""
    closes: str = ""
    circuit: str = ""


@dataclass
class World:
    """A build as it is after some marks."""

    route: str
    things: dict[str, Known]
    swap: bool = True
    at: dict[str, str] = field(default_factory=dict)
    touched: set[str] = field(default_factory=set)
    when: dict[tuple[str, str], int] = field(default_factory=dict)
    clock: int = 0
    out: bool = False
    incoming_in: bool = False
    hook: bool = False
    mated: bool = False
    landed: bool = False
    started: bool = False
    already_out: bool = False

    def __post_init__(self) -> None:
        self.mated = not self.swap
        self.at = {name: (OFF if thing.kind == "temporary" else ON) for name, thing in self.things.items()}

    def do(self, move: str) -> None:
        """Do what a mark says, such as "hose off" or "rise"."""
        self.clock += 1
        first, _, then = move.partition(" ")
        if first not in self.things:
            self._happen(first)
            return
        if then == STARTED and self.things[first].kind in {"part", "fluid", "temporary"}:
            then = DONE  # there is no half of it
        before, self.at[first] = self.at[first], then
        self.touched |= {first} if then != LEFT_OUT else set()
        if then in {OFF, ASIDE, UNUSED}:
            for level in (STARTED, DONE, "closed"):
                self.when.pop((first, level), None)
            return
        if then == LEFT_OUT:
            return
        self.when.setdefault((first, STARTED), self.clock)
        if then == DONE or (then == LOOKED and before != DONE):
            self.when[first, DONE] = self.clock
            self.when.setdefault((first, "closed"), self.clock)

    def _happen(self, what: str) -> None:
        leaves = LEAVES[self.route]
        match what:
            case "hook":
                self.hook = True
            case "rise":
                self.out, self.incoming_in, self.landed, self.started = True, False, False, False
                self.hook = True
                if "gearbox" not in leaves:
                    self.mated = False
            case "set_down":
                self.hook = False
            case "already_out":
                self.out = self.already_out = True
            case "lift_in":
                self.incoming_in, self.hook = True, True
            case "mate":
                self.mated = True
            case "land":
                self.landed, self.hook = True, False
            case "start":
                self.started = True

    def is_there(self) -> bool:
        """Whether the engine that the vehicle runs with, or ran with, is in it."""
        return self.incoming_in or not self.out

    def crosses(self, name: str) -> bool:
        """Whether a thing ties what leaves to what stays."""
        ties = self.things[name].ties or frozenset()
        leaving = {kind in LEAVES[self.route] for kind in ties}
        return len(leaving) > 1

    def goes_back(self, name: str) -> bool:
        return name in self.touched and self.at[name] not in {UNUSED, LEFT_OUT, ON}

    def is_closed(self, name: str) -> bool:
        """Whether a mechanic would call a thing finished."""
        thing, at = self.things[name], self.at[name]
        if thing.kind == "temporary":
            return at in {ON, DONE} or name not in self.touched
        if not self.goes_back(name):
            return True
        return at == LOOKED or (at == DONE and not thing.critical)

    def wrong(self) -> bool:
        """Whether something is marked that cannot be, or that asks."""
        return any(self._is_wrong(name) for name in self.things)

    def _is_wrong(self, name: str) -> bool:
        thing, at = self.things[name], self.at[name]
        is_back = self._is_back(name)
        tight = is_back and (thing.kind == "connection" or at in {DONE, LOOKED})
        left = self.crosses(name) and self.out
        if left and ((tight and not self.incoming_in) or (at == ON and not self.already_out)):
            return True
        if tight and thing.holds and self.goes_back(thing.holds):
            return not self._is_back(thing.holds) or self._after(thing.holds, STARTED, name, DONE)
        return self._is_over(name) or self._is_poured_out(name)

    def _is_over(self, name: str) -> bool:
        """Whether something went on over a gasket that is not in, or over a cap that is."""
        for under, thing in self.things.items():
            if name not in {thing.seals, thing.closes} or not self._is_back(name):
                continue
            if thing.seals and not self.goes_back(under):
                continue
            if under in self.touched and (
                self.at[under] == OFF or self._after(under, STARTED, name, STARTED)
            ):
                return True
        return False

    def _is_poured_out(self, name: str) -> bool:
        for part, thing in self.things.items():
            if thing.circuit == name and self._is_back(name) and self.goes_back(part):
                late = self._after(part, "closed", name, DONE)
                if self.at[part] not in {DONE, LOOKED} or late:
                    return True
        return False

    def _is_back(self, name: str) -> bool:
        return self.goes_back(name) and self.at[name] in {STARTED, DONE, LOOKED}

    def _after(self, later: str, level: str, earlier: str, its: str) -> bool:
        one, two = self.when.get((later, level), 0), self.when.get((earlier, its), 0)
        return 0 < two < one

    def may(self, gate: str) -> bool:
        """Whether a mechanic standing beside the vehicle would let a gate be green, its questions aside."""
        names = self.things
        match gate:
            case "lift":
                return self.hook and all(self._lets_go(name) for name in names)
            case "hook_up":
                return all(
                    self._lets_go(name) or self.things[name].when in {"mounts", "mating"} for name in names
                )
            case "mating":
                there = self._is_lifted_in() if self.route == "engine_up" else True
                return there and self._closed({"clutch"})
            case "lift_in":
                apart = self.route == "engine_up"
                whens = {"bench", "clutch", "cart"} | (set() if apart else {"mating"})
                return (apart or self._is_mated()) and self._closed(whens)
            case "landing":
                on = all(
                    self.at[n] != OFF for n, t in names.items() if t.when == "mounts" and self.goes_back(n)
                )
                housing = self._closed({"mating"}) if self.route == "engine_up" else True
                return self._is_lifted_in() and self._is_mated() and on and housing
            case "start":
                stands = self.route == "none" or (self._is_lifted_in() and self.landed and self._is_mated())
                return stands and self._closed({each.when for each in names.values()}) and not self.wrong()
        raise KeyError(gate)

    def _is_lifted_in(self) -> bool:
        return self.out and self.incoming_in

    def _is_mated(self) -> bool:
        return self.mated and self.out

    def _closed(self, whens: Iterable[str]) -> bool:
        return all(
            self.is_closed(name) and not self._is_wrong(name)
            for name, thing in self.things.items()
            if thing.when in whens or (thing.ties is None and thing.kind != "temporary")
        )

    def _lets_go(self, name: str) -> bool:
        thing = self.things[name]
        if thing.kind not in {"fastener", "connection"}:
            return True
        if thing.ties is None:
            return self.at[name] in {OFF, UNUSED}
        return not self.crosses(name) or self.at[name] in {OFF, UNUSED}


def copy(world: World) -> World:
    """Return a world that can go on by itself."""
    return replace(world, things=dict(world.things))
