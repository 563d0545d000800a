"""The plan of an engine swap, short to write: its things, their sides, and the order that follows."""

from dataclasses import replace
from typing import Any

from app.core.items.items import DETAIL, Connection, End, Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.order.acts import MILESTONE, PLACE, Plan, PlanStep, thing_of
from app.core.order.graph_builder import build_graph
from app.core.phases.barriers import Barriers, barriers
from app.core.phases.routes import Route
from app.core.phases.sides import Sides
from app.core.phases.stages import Stage, placement
from app.core.phases.units import Units, usual_units

SWAP = usual_units(new_engine=True, subframe=True)
ROLES = {
    "radiator": Role.JOINTS,
    "lift": Role.LIFT,
    "split": Role.MATING,
    "clutch": Role.BENCH,
    "start": Role.FIRST_START,
    "drive": Role.MOVE,
    "battery": Role.BATTERY,
    "hood": Role.NONE,
}
POSITIONS = {
    "hood": 0,
    "drive": 1,
    "start": 2,
    "battery": 3,
    "radiator": 4,
    "split": 5,
    "lift": 6,
    "clutch": 7,
}


def hose(one: str, other: str, name: str = "Hose", step: str = "") -> Item:
    ends = (End("A", "one end", one), End("B", "other end", other))
    return Item("x", 1, Kind.CONNECTION, name, step, detail=Connection("coolant hose", ends=ends))


def thing(kind: Kind, name: str, owner: str = "", step: str = "", **over: Any) -> Item:
    detail = over.pop("detail", None) or DETAIL[kind]()
    return replace(Item("x", 1, kind, name, step, owner=owner, detail=detail), **over)


def sides(*items: Item, route: Route = Route.ENGINE_UP, units: Units = SWAP, **over: Any) -> Sides:
    return Sides(units, route, route, {item.id: item for item in items}, roles=ROLES, **over)


def stage(item: Item, *others: Item, **over: Any) -> Stage:
    return placement(item, sides(item, *others, **over)).stage


def steps() -> tuple[PlanStep, ...]:
    on_only = {"start", "drive"}
    return tuple(PlanStep(s, at, "on_only" if s in on_only else "both") for s, at in POSITIONS.items())


def bounded(*items: Item, route: Route = Route.ENGINE_UP) -> Barriers:
    chosen = frozenset({"hood-part"})
    return barriers(items, sides(*items, route=route, chosen=chosen), POSITIONS)


def order(
    *items: Item, off: dict[str, int] | None = None, route: Route = Route.ENGINE_UP, **over: Any
) -> str:
    found = bounded(*items, route=route)
    things = tuple(thing_of(each, off_seq=(off or {}).get(each.id, 0)) for each in items)
    plan = Plan(
        things, steps(), milestones=found.milestones, barriers=found.bounds, unsaid=found.unsaid, **over
    )
    graph = build_graph(plan)
    nodes = (graph.nodes[i] for i in graph.order)
    return " ".join(node.of for node in nodes if node.what in {PLACE, MILESTONE})


def engine_swap() -> list[Item]:
    on = {each: Item(each, 0, Kind.STEP, each, each) for each in ("start", "drive")}
    made = [
        ("clutch-bolts", Kind.FASTENER, "Clutch cover bolts", "clutch"),
        ("housing", Kind.FASTENER, "Bellhousing bolts", "split"),
        ("mounts", Kind.FASTENER, "Mount nuts", "lift"),
        ("radiator-part", Kind.PART, "Radiator", "radiator"),
        ("hood-part", Kind.PART, "Hood", "hood"),
    ]
    return [
        *(thing(kind, name, "vehicle", step, id=key) for key, kind, name, step in made),
        replace(hose("vehicle", "old engine", step="radiator"), id="hose"),
        *on.values(),
    ]
