"""A mechanic beside the vehicle, who knows the order of an engine swap and none of the product's rules.

Things are told by hand: what each ties together, what it holds, seals or closes. What the crew marks is heard
as it arrives, each mark with what its writer had seen of the thing.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

ON, OFF, ASIDE, UNUSED, STARTED, DONE, LOOKED = "on", "off", "aside", "unused", "started", "done", "looked"
LEAVES = {
    "engine_up": frozenset({"engine"}),
    "together_up": frozenset({"engine", "gearbox"}),
    "none": frozenset[str](),
}
ENGINE, GEARBOX, VEHICLE = frozenset({"engine"}), frozenset({"gearbox"}), frozenset({"vehicle"})
_AT_ONCE = frozenset({"part", "locator", "temporary", "finding"})
"""Kinds of which nothing is half done."""
_LAST = {"connection": "routed", "fastener": "tight", "part": "placed", "locator": "counted_in"}
_LAST |= {"temporary": "out", "finding": "decided"}
_FIRST = frozenset({"off", "drained", "fitted", "already_off", "loosened", "raised"})
_FAR = (OFF, ASIDE, STARTED, DONE, LOOKED)
"""From open to closed: a group is as far as the bolt that is behind."""


@dataclass(frozen=True)
class Thing:
    """A thing as a mechanic knows it, and the few words by which the product is told of it.

    Args:
        key: Its name in the test.
        kind: As the product has it.
        ties: The units that it ties together or belongs to; `None` where nobody said.
        step: The starter step in which it comes off.
        when: Where what it ties does not say it: `hidden` (mating hides it), `faces` (through or over the
            faces that have met), `mounts`, `engine` (the engine's own, on the bench or later), `late` (leaks
            are looked for before it covers them).
        holds, joins, covers, seals, closes: What must be in position before it; of the last two, after it.
        system: The fluid that it keeps in; that of a fluid is its own.
        current: `ground` for the battery's ground cable, `yes` for what carries current beside it.
        critical: Another person looks at it.
        bleeds: A fluid that is bled after it is filled.
        off: The act by which it comes off.
        once: Bolts that are stretched once only: new ones go in.
        torque: The last stage as printed, where it is one value or a range.
    """

    key: str
    kind: str
    ties: frozenset[str] | None
    step: str
    name: str = ""
    type: str = ""
    when: str = ""
    holds: tuple[str, ...] = ()
    joins: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    seals: tuple[str, ...] = ()
    closes: tuple[str, ...] = ()
    system: str = ""
    current: str = ""
    critical: bool = False
    bleeds: bool = False
    n: int | None = None
    off: str = ""
    once: bool = False
    torque: str = ""

    def level(self, act: str) -> str:
        """Return how far an act on the product's ladder takes it."""
        if act in _FIRST:
            return OFF
        last = _LAST.get(self.kind, "bled" if self.bleeds else "filled")
        beside = {"aside": ASIDE, "unused": UNUSED, "checked": LOOKED}
        return beside.get(act) or (DONE if act == last else STARTED)


@dataclass(frozen=True)
class Mark:
    """What somebody said of a thing: how far it is, and the marks of it that they had seen.

    Args:
        pos: Of which of its pieces; empty for all.
    """

    id: str
    level: str
    person: str
    seen: frozenset[str]
    pos: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Event:
    """What somebody said of the units, and what of it they had seen."""

    id: str
    verb: str
    seen: frozenset[str]
    trial: bool = False


_WRITES: dict[str, dict[str, bool]] = {
    "hook": {"hook_up": True, "rise": True, "set_down": False, "lift_in": True, "landed": False},
    "out": {"rise": True, "set_down": True, "already_out": True},
    "in": {"rise": False, "set_down": False, "already_out": False, "lift_in": True, "trial": False},
    "mated": {"mating": True, "parting": False, "rise": False, "already_out": False},
    "landed": {"hook_up": False, "rise": False, "lift_in": False, "landed": True},
    "started": {"rise": False, "first_start": True},
    "moved": {"rise": False, "moved": True},
}
"""What holds once something was told."""
_EVERYTHING = frozenset(
    {"hidden", "bench", "mating", "faces", "mounts", "after", "vehicle", "engine", "fluid", "unsaid"}
)
GATE_OF = {"hook_up": "hook_up", "rise": "lift", "mating": "mating", "lift_in": "lift_in"}
GATE_OF |= {"landed": "landing", "first_start": "start", "moved": "move"}


@dataclass
class Mechanic:
    """A build as a mechanic would have it from what arrived.

    Args:
        route: How an engine leaves and how one comes back, one of `LEAVES`.
        things: By key.
        another: Another engine comes back than went out.
        marks: Of each thing, in the order of arrival.
        clear: Things that somebody called clear of the lift.
        steps: The steps of the way back that were done.
        confirmed: Things of which somebody said by name that what looks wrong is right.
        staying: Things that do not go back: left out, on the old engine, replaced.
        pieces: What was counted of a thing, by its piece: `lost`, `renewed` and the like.
    """

    route: str
    things: dict[str, Thing]
    another: bool = True
    marks: dict[str, list[Mark]] = field(default_factory=dict)
    events: list[Event] = field(default_factory=list)
    clear: set[str] = field(default_factory=set)
    steps: set[str] = field(default_factory=set)
    confirmed: set[str] = field(default_factory=set)
    staying: set[str] = field(default_factory=set)
    pieces: dict[str, dict[int, str]] = field(default_factory=dict)
    _known: dict[tuple[object, ...], str] = field(default_factory=dict)

    def forget(self) -> None:
        """Forget what was heard: all of it is heard again."""
        told = (self.marks, self.events, self.clear, self.steps, self.confirmed, self.staying, self.pieces)
        for heard in told:
            heard.clear()

    @property
    def meets_in_vehicle(self) -> bool:
        """Whether the gearbox stays, so that engine and gearbox meet in the vehicle."""
        return self.route == "engine_up"

    # How a thing stands

    def heads(self, key: str, piece: int = 0) -> list[Mark]:
        """Return the marks of a piece that nobody had seen who marked it since."""
        row = [mark for mark in self.marks.get(key, []) if not piece or not mark.pos or piece in mark.pos]
        return [mark for mark in row if not any(mark.id in other.seen for other in row)]

    def level(self, key: str) -> str:
        """Return how far a thing is; empty where people say different things, or something is yet to come."""
        row = self.marks.get(key, ())
        said = (key, key in self.confirmed, *(mark.id for mark in row))
        if said not in self._known:
            pieces = range(1, (self.things[key].n or 1) + 1) if any(mark.pos for mark in row) else (0,)
            levels = {self._level(key, piece) for piece in pieces}
            one = len(levels) == 1 or "" in levels
            behind = min(levels & set(_FAR), key=_FAR.index, default=UNUSED)
            self._known[said] = min(levels) if one else behind
        return self._known[said]

    def _level(self, key: str, piece: int) -> str:
        levels = {mark.level for mark in self.heads(key, piece)}
        heard = {mark.id for mark in self.marks.get(key, ())}
        if levels == {LOOKED, DONE} and key in self.confirmed:
            return LOOKED  # the work was the same
        if len(levels) > 1 or any(mark.seen - heard for mark in self.marks.get(key, ())):
            return ""
        return levels.pop() if levels else ON

    def goes_back(self, key: str) -> bool:
        """Tell whether it came off and is to go back."""
        return self.level(key) not in {ON, UNUSED} and key not in self.staying

    def is_started(self, key: str) -> bool:
        """Tell whether it is in position, or never came off."""
        return not self.goes_back(key) or self.level(key) in {STARTED, DONE, LOOKED}

    def is_done(self, key: str) -> bool:
        """Tell whether its own work is done; a second look may be open."""
        return not self.goes_back(key) or self.level(key) in {DONE, LOOKED}

    def is_closed(self, key: str) -> bool:
        """Tell whether nothing is left to do at it."""
        if not self.goes_back(key):
            return True
        if not self._is_whole(key):
            return False
        looks = [mark for mark in self.heads(key) if mark.level == LOOKED]
        by_another = any(mark.person not in self.doers(key) for mark in looks)
        return self.is_done(key) and (by_another or not self.things[key].critical)

    def wants_new(self, key: str) -> bool:
        """Tell whether a thing goes back with new pieces that nobody has got yet."""
        if key not in self.things or not self.goes_back(key) or self.level(key) not in {OFF, ASIDE}:
            return False
        return not self._is_whole(key)

    def _is_whole(self, key: str) -> bool:
        """Tell whether no piece is lost, and what is used once is new."""
        pieces, n = self.pieces.get(key, {}), self.things[key].n or 1
        is_new = all(pieces.get(piece) == "renewed" for piece in range(1, n + 1))
        return "lost" not in pieces.values() and (is_new or not self.things[key].once)

    def next_level(self, key: str) -> str:
        """Return what comes next at something on its way back."""
        if self.is_done(key):
            return LOOKED
        return DONE if self.is_started(key) or self.things[key].kind in _AT_ONCE else STARTED

    def doers(self, key: str) -> set[str]:
        """Return who did the work as it stands."""
        row = [mark for mark in self.marks.get(key, ()) if mark.level != LOOKED]
        return {mark.person for mark in row if not any(mark.id in other.seen for other in row)}

    # Where the units are

    def happened(self, what: str) -> bool | None:
        """Tell whether something holds, one of `_WRITES`; `None` where people say different things."""
        told = [(event, self._wrote(event, what)) for event in self.events]
        wrote = [(event, value) for event, value in told if value is not None]
        said = {value for event, value in wrote if not any(event.id in other.seen for other, _ in wrote)}
        if len(said) > 1:
            return None
        return said.pop() if said else what == "mated"

    def _wrote(self, event: Event, what: str) -> bool | None:
        if what == "mated" and event.verb == "rise" and not (self.another or self.meets_in_vehicle):
            return None  # they leave together, as they are
        return _WRITES[what].get("trial" if event.trial else event.verb)

    # When a thing goes back, by what it ties

    def when(self, key: str) -> str:
        """Return when a thing goes back: `after` the engine is in, at the `mating`, on the `bench`, …."""
        thing = self.things[key]
        if thing.kind == "fluid" or thing.when == "late":
            return thing.when or "fluid"
        if self.route == "none" or thing.when or thing.ties is None:
            return "vehicle" if self.route == "none" else thing.when or "unsaid"
        if thing.ties == ENGINE | GEARBOX:
            return "mating"
        own = "bench" if thing.ties == ENGINE else "vehicle"
        return "after" if self.crosses(key) else own

    def crosses(self, key: str) -> bool:
        """Tell whether a thing ties what leaves to what stays."""
        return len({unit in LEAVES[self.route] for unit in self.things[key].ties or ()}) > 1

    # What may be done

    def why_not(self, key: str, level: str, person: str = "") -> str:
        """Return why something may not be done now; empty where it may."""
        if level in {OFF, ASIDE, UNUSED}:
            return ""
        if level == LOOKED:
            own = bool(person) and person in self.doers(key)
            return "who did it looks at it" if own else "" if self.is_done(key) else "the work is not done"
        found = (*self._of_units(key, level), *self._of_things(key), *self.of_circuits(self.things[key]))
        return next(iter(found), "")

    def _of_units(self, key: str, level: str) -> Iterator[str]:
        when = self.when(key)
        if when in {"after", "mounts"} and not self.happened("in"):
            yield "the engine is not in"
        apart = not self.happened("mated")
        if apart and (when in {"mating", "faces"} or (when == "mounts" and self.meets_in_vehicle)):
            yield "engine and gearbox are apart"
        if when == "mounts" and level == DONE and not self.happened("landed"):
            yield "the hook still carries it"
        if when == "hidden" and self.happened("mated") and (self.happened("out") or self.happened("in")):
            yield "no hand gets there"

    def _of_things(self, key: str) -> Iterator[str]:
        thing = self.things[key]
        yield from (
            f"{each} is not in position" for each in (*thing.holds, *thing.joins) if not self.is_started(each)
        )
        yield from (f"{each} under it is not finished" for each in thing.covers if not self.is_done(each))
        for each, other in self.things.items():
            if key in {*other.seals, *other.closes} and not self.is_done(each):
                yield f"{each} is {'still in' if other.closes else 'not in'}"

    def of_circuits(self, thing: Thing) -> Iterator[str]:
        """Yield what must be closed before something is filled, and joined before the battery's ground."""
        for each, other in self.things.items():
            closes = other.kind != "fluid" and other.system == thing.system
            if thing.kind == "fluid" and closes and not self.is_done(each):
                yield f"{each} is open"
            if thing.current == "ground" and other.current == "yes" and not self.is_started(each):
                yield f"{each} is not joined"

    def pairs(self) -> Iterator[tuple[str, str]]:
        """Yield what goes back before what, whatever else: a plan is held against it."""
        for key, thing in self.things.items():
            yield from ((each, key) for each in (*thing.holds, *thing.joins, *thing.covers))
            yield from ((key, each) for each in thing.seals)
            for each, other in self.things.items():
                if thing.kind == "fluid" and other.kind != "fluid" and other.system == thing.system:
                    yield each, key
                if thing.current == "ground" and other.current == "yes":
                    yield each, key
                if self.when(each) == "mounts" and self.when(key) == "after":
                    yield each, key
                if self.when(each) == "hidden" and self.when(key) == "mating":
                    yield each, key

    def step_why_not(self, role: str) -> str:
        """Return why a step of the way back may not be done now."""
        fluids = [thing for thing in self.things.values() if thing.kind == "fluid"]
        if role in {"fill", "bleed"}:
            own = [each for each in fluids if each.bleeds == (role == "bleed")]
            return next((why for each in own for why in self.of_circuits(each)), "")
        if role == "prime":
            first = [each.key for each in fluids if each.system == "engine oil"]
            first += [key for key, thing in self.things.items() if thing.current == "ground"]
            return next((f"first {each}" for each in first if not self.is_started(each)), "")
        gate = {"first_start": "start", "move": "move"}.get(role, "")
        return "; ".join(self.red(gate)) if gate else ""

    def may_tell(self, verb: str) -> str:
        """Return why something may not happen to the units now; empty where it may."""
        return "; ".join(self.red(GATE_OF[verb])) if verb in GATE_OF else ""

    # Gates

    def is_behind(self, gate: str) -> bool:
        """Tell whether the engine is out: a gate on its way out stands for what was."""
        return gate in {"hook_up", "lift"} and bool(self.happened("out")) and not self.happened("in")

    def red(self, gate: str) -> tuple[str, ...]:
        """Return why a gate is red, its questions aside; nothing where it may be green."""
        disputed = [what for what in ("hook", "out", "in", "mated") if self.happened(what) is None]
        found = [f"people say different things of {what}" for what in disputed]
        return (*found, *(self._tied(gate) if gate in {"hook_up", "lift"} else self._open(gate)))

    def _tied(self, gate: str) -> Iterator[str]:
        """Yield what keeps the engine from leaving; at hook-up mounts and the last bolts may still hold."""
        if gate == "lift" and not self.happened("hook"):
            yield "the hook is not on"
        for key, thing in self.things.items():
            to_gearbox = thing.ties == ENGINE | GEARBOX
            holds = gate == "hook_up" and (self.when(key) in {"mounts", "mating"} or to_gearbox)
            if holds or thing.kind not in {"connection", "fastener", "part"}:
                continue
            level = self.level(key)
            if (self.crosses(key) or thing.ties is None) and level not in {OFF, UNUSED}:
                yield f"{key} still ties it"
            elif level == ASIDE and key not in self.clear:
                yield f"nobody called {key} clear"

    def _open(self, gate: str) -> Iterator[str]:
        yield from (f"first {what}" for what in self._first(gate) if not self.happened(what))
        runs = gate in {"start", "trial", "move"}
        for key in self.things:
            if self.when(key) in self._before(gate) and not self._is_ready(key, gate):
                yield f"{key} is {self.level(key) or 'disputed'}"
            elif runs and self._is_unrecorded(key):
                yield f"nobody wrote down how {key} is"

    def _first(self, gate: str) -> tuple[str, ...]:
        if self.route == "none":
            return ("started",) if gate == "move" else ()
        if gate in {"mating", "lift_in"}:
            return ("in",) * (gate == "mating" and self.meets_in_vehicle) + ("mated",) * (
                gate == "lift_in" and not self.meets_in_vehicle
            )
        landed = ("landed",) if gate != "landing" else ()
        return ("in", "mated", *landed, *(("started",) if gate == "move" else ()))

    def _before(self, gate: str) -> frozenset[str]:
        """Return what must be closed before a gate's act."""
        meets = frozenset({"mating"})
        own = {"mating": frozenset({"hidden", "unsaid"}), "landing": frozenset({"mounts", "unsaid"})}
        own["lift_in"] = frozenset({"bench", "unsaid"})
        if self.meets_in_vehicle:
            own["landing"] |= meets
        else:
            own["lift_in"] |= meets | {"hidden"}
        return own.get(gate, _EVERYTHING | ({"late"} if gate == "move" else set()))

    def _is_ready(self, key: str, gate: str) -> bool:
        """Tell whether a thing is far enough: mounts carry once started, oil is in once filled."""
        started = gate == "landing" and self.when(key) == "mounts"
        filled = gate in {"start", "trial"} and self.things[key].kind == "fluid"
        critical = self.things[key].critical
        if filled:
            return self.is_closed(key) if critical else self.is_started(key)
        return self.is_started(key) if started else self.is_closed(key)

    def _is_unrecorded(self, key: str) -> bool:
        """Tell whether something tied the engine that was out before anybody wrote anything down."""
        early = any(event.verb == "already_out" for event in self.events)
        ties = self.crosses(key) or (self.when(key) == "mating" and self.meets_in_vehicle)
        return early and ties and self.level(key) == ON


def known(*things: Thing) -> dict[str, Thing]:
    """Return things by their keys."""
    return {thing.key: thing for thing in things}
