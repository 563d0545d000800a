"""Marks played through the product: the same moves as the reference model takes."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from app.core.consistency.findings import Finding, FindingAnswer, unanswered
from app.core.consistency.judge import judge
from app.core.consistency.scene import Scene, Seen
from app.core.consistency.times import times_of
from app.core.gates.by_phase import GateLook, lines_for
from app.core.gates.facts import BuildFacts
from app.core.gates.gates import Gate
from app.core.items.items import DETAIL, Connection, Edge, End, Fastener, Fluid, Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Role
from app.core.items.state import fold
from app.core.ledger.ledger import work_act
from app.core.phases.barriers import Barriers, barriers
from app.core.phases.phases import Phases, fold_phases
from app.core.phases.routes import LEAVES, Route
from app.core.phases.sides import Sides
from app.core.phases.units import Units, usual_units
from tests.core.ledger.standing import Stands
from tests.core.phases.reference import Known

ROLES = {
    "bench": Role.BENCH,
    "split": Role.MATING,
    "lift": Role.LIFT,
    "joints": Role.JOINTS,
    "fill": Role.FILL,
}
ROLES |= {"start": Role.FIRST_START, "hood": Role.NONE, "nowhere": Role.NONE}
POSITIONS = {
    name: at for at, name in enumerate(("start", "hood", "fill", "joints", "split", "lift", "bench"))
}
STEP = {"bench": "bench", "clutch": "bench", "mating": "split", "mounts": "lift", "after": "joints"}
STEP |= {"fluid": "fill", "temporary": "joints", "vehicle": "hood", "cart": "lift"}
OWNER = {"engine": "old engine", "gearbox": "gearbox", "vehicle": "vehicle", "subframe": "subframe"}
_ACTS = {
    "fastener": {"off": Act.OFF, "started": Act.HAND_TIGHT, "done": Act.TIGHT, "looked": Act.CHECKED},
    "connection": {"off": Act.OFF, "started": Act.SEATED, "done": Act.ROUTED, "looked": Act.CHECKED},
    "part": {"off": Act.OFF, "started": Act.PLACED, "done": Act.PLACED, "looked": Act.CHECKED},
    "fluid": {"off": Act.DRAINED, "started": Act.FILLED, "done": Act.FILLED, "looked": Act.CHECKED},
    "temporary": {"off": Act.FITTED, "started": Act.OUT, "done": Act.OUT, "looked": Act.OUT},
}
BESIDE = {"unused": Act.UNUSED, "aside": Act.ASIDE, "loosened": Act.LOOSENED}


def item_of(thing: Known, number: int) -> Item:
    """A thing in the product's words; the name speaks where the rules go by words."""
    kind, ties = Kind(thing.kind), sorted(thing.ties or ())
    words = {"clutch": "Clutch cover bolts", "mounts": "Mount nuts", "mating": "Bellhousing bolts"}
    step = "" if thing.ties is None else STEP[thing.when]
    detail: Any = DETAIL[kind]()
    owner = OWNER[ties[0]] if len(ties) == 1 else "vehicle"
    if kind is Kind.CONNECTION:
        owners = [OWNER[each] for each in (ties if len(ties) == 2 else ties * 2)] or ["", ""]
        detail = Connection(
            "coolant hose", ends=tuple(End("AB"[n], f"end {n}", o) for n, o in enumerate(owners))
        )
    elif kind is Kind.FASTENER:
        detail = Fastener(torque="25 N·m", one_time="no")
    elif kind is Kind.FLUID:
        detail = Fluid("engine oil")
    name = words.get(thing.when, thing.name)
    return Item(thing.name, number, kind, name, step, "", 1, thing.critical, owner, detail=detail)


@dataclass
class Played:
    """A build that moves are played into."""

    route: Route
    known: dict[str, Known]
    units: Units = field(default_factory=lambda: usual_units(new_engine=True, subframe=True))
    lines: dict[str, list[Line]] = field(default_factory=dict)
    told: list[Line] = field(default_factory=list)
    clock: int = 0
    answers: tuple[FindingAnswer, ...] = ()

    def __post_init__(self) -> None:
        self.items = {name: item_of(thing, nth + 1) for nth, (name, thing) in enumerate(self.known.items())}
        for name, thing in self.known.items():
            self.lines.setdefault(name, [])
            assert thing.name == name

    def copy(self) -> "Played":
        return replace(self, lines={key: list(row) for key, row in self.lines.items()}, told=list(self.told))

    def do(self, *moves: str) -> "Played":
        for move in moves:
            self._do(move)
        return self

    def _do(self, move: str) -> None:
        self.clock += 1
        name, _, how = move.partition(" ")
        line_id = f"{self.clock:04d}"
        if name not in self.known:
            self.told.append(self._milestone(line_id, name))
            return
        row = self.lines[name]
        after = frozenset({row[-1].id} if row else ())
        acts = _ACTS[self.known[name].kind] | BESIDE
        body: dict[str, Any] = (
            {"destiny": how, "reason": "not wanted"} if how == "left_out" else {"act": acts[how].value}
        )
        verb = "dispose" if how == "left_out" else "mark"
        person = "Ben" if how == "looked" else "Ada"
        if body.get("act") == Act.CHECKED.value:
            body["round"] = self.phases.round
        row.append(Line(line_id, f"item:{name}", verb, body, after, person, seq=self.clock))

    def _milestone(self, line_id: str, what: str) -> Line:
        kinds = LEAVES[self.route]
        out = [self.units.outgoing(kind) for kind in kinds]
        back = [self.units.incoming(kind) for kind in kinds]
        engine = back if self.phases.states[self.units.incoming()].place == "in" else out
        said: dict[str, tuple[str, list[str], dict[str, Any]]] = {
            "hook": ("hook_up", engine, {}),
            "rise": ("rise", engine, {}),
            "set_down": ("set_down", engine, {}),
            "already_out": ("set_down", out, {"before_record": True}),
            "lift_in": ("lift_in", back, {}),
            "trial": ("lift_in", back, {"trial": True}),
            "mate": ("mating", [self.units.incoming(), "gearbox"], {}),
            "land": ("landed", back, {}),
            "start": ("first_start", ["vehicle"], {}),
        }
        verb, units, body = said[what]
        after = frozenset({self.told[-1].id} if self.told else ())
        return Line(line_id, "build:1", verb, {"units": units, **body}, after, "Ada", seq=self.clock)

    @property
    def phases(self) -> Phases:
        return fold_phases(self.units, self.told)

    @property
    def edges(self) -> tuple[Edge, ...]:
        return tuple(
            Edge(name, rel, to)
            for name, thing in self.known.items()
            for rel, to in (("holds", thing.holds), ("seals", thing.seals), ("closes", thing.closes))
            if to
        )

    @property
    def sides(self) -> Sides:
        chosen = frozenset(name for name, thing in self.known.items() if thing.ties)
        return Sides(self.units, self.route, self.route, self.items, self.edges, ROLES, chosen & self._owned)

    @property
    def _owned(self) -> frozenset[str]:
        """Things whose owner tells it: a group that ties two units says it by its step."""
        return frozenset(n for n, t in self.known.items() if t.kind != "fastener" or len(t.ties or ()) == 1)

    @property
    def barriers(self) -> Barriers:
        return barriers(self.items.values(), self.sides, POSITIONS)

    @property
    def standing(self) -> tuple[Stands, ...]:
        return tuple(
            Stands(each, fold(each.kind, each.positions, self.lines[each.id], work=work_act(each)))
            for each in self.items.values()
        )

    @property
    def found(self) -> tuple[Finding, ...]:
        things = {
            s.item.id: Seen(s.item, s.state, times_of(s.item, self.lines[s.item.id])) for s in self.standing
        }
        systems = {name: "engine oil" for name, thing in self.known.items() if thing.circuit}
        return judge(Scene(things, self.edges, self.phases, self.sides, systems=systems))

    @property
    def open_findings(self) -> tuple[Finding, ...]:
        return unanswered(self.found, self.answers)

    def facts(self) -> BuildFacts[Stands]:
        lift = POSITIONS["lift"] if self.route is not Route.NONE else None
        return BuildFacts(
            self.standing, self.phases, self.sides, self.barriers, positions=POSITIONS, lift=lift,
            findings=self.open_findings,
        )  # fmt: skip

    def look(self, gate: str) -> GateLook[Stands]:
        return lines_for(Gate(gate, "", ""), self.facts())

    def open_at(self, gate: str) -> list[str]:
        return [each.line.item.id for each in self.look(gate).lines]


def known(*things: Known) -> dict[str, Known]:
    return {thing.name: thing for thing in things}


def moves_of(things: Iterable[Known]) -> list[str]:
    """All that can be marked of some things."""
    return [f"{thing.name} {how}" for thing in things for how in ("off", "started", "done", "looked")]
