"""On which side of each milestone a thing belongs, and the order that follows."""

from dataclasses import replace
from typing import Any

import pytest

from app.core.cycles import CycleError
from app.core.items.items import DETAIL, Connection, Edge, End, Fluid, Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.order.acts import MILESTONE, PLACE, GoesAfter, InstallException, Plan, PlanStep, thing_of
from app.core.order.graph_builder import build_graph
from app.core.phases.barriers import Barriers, barriers
from app.core.phases.routes import Route
from app.core.phases.sides import ON_BEFORE, STAYS_OFF, SideException, Sides
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


@pytest.mark.parametrize(
    ("route", "ends", "expected"),
    [
        (Route.ENGINE_UP, ("old engine", "old engine"), Stage.BENCH),
        (Route.ENGINE_UP, ("vehicle", "old engine"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("vehicle", "gearbox"), Stage.VEHICLE),
        (Route.TOGETHER_UP, ("vehicle", "gearbox"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("new engine", "gearbox"), Stage.MATING),
        (Route.TOGETHER_UP, ("old engine", "gearbox"), Stage.MATING),
        (Route.SUBFRAME_DOWN, ("old engine", "subframe"), Stage.CART),
        (Route.SUBFRAME_DOWN, ("gearbox", "subframe"), Stage.CART),
        (Route.ENGINE_UP, ("old engine", "subframe"), Stage.AFTER_LANDING),
        (Route.SUBFRAME_DOWN, ("vehicle", "subframe"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("vehicle", "vehicle"), Stage.VEHICLE),
        (Route.ENGINE_UP, ("old engine", ""), Stage.NOT_SAID),
        (Route.ENGINE_UP, ("part", "old engine"), Stage.NOT_SAID),
        (Route.NONE, ("vehicle", "old engine"), Stage.VEHICLE),
    ],
)
def test_the_ends_of_a_connection_say_when_it_goes_back(
    route: Route, ends: tuple[str, str], expected: Stage
) -> None:
    assert stage(hose(*ends), route=route) is expected


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        ("", Stage.NOT_SAID),
        ("hood", Stage.NOT_SAID),
        ("radiator", Stage.AFTER_LANDING),
        ("clutch", Stage.BENCH),
    ],
)
def test_what_is_not_said_takes_its_steps_role(step: str, expected: Stage) -> None:
    assert stage(hose("old engine", "", step=step)) is expected
    assert stage(thing(Kind.PART, "Bracket", "vehicle", step)) is expected


def test_the_default_owner_says_nothing_until_somebody_chose_it() -> None:
    part = thing(Kind.PART, "Radiator", "vehicle")

    assert stage(part) is Stage.NOT_SAID
    assert stage(part, chosen=frozenset({"x"})) is Stage.VEHICLE


def test_ends_that_nobody_described_say_nothing() -> None:
    bare = Item("x", 1, Kind.CONNECTION, "Plug", detail=Connection("sensor"))

    assert stage(bare) is Stage.NOT_SAID
    assert stage(bare, chosen=frozenset({"x"})) is Stage.VEHICLE


@pytest.mark.parametrize(
    ("name", "step", "expected"),
    [
        ("Flywheel bolts", "clutch", Stage.BEFORE_MATING),
        ("Bellhousing bolts", "split", Stage.MATING),
        ("Converter bolts", "split", Stage.MATING),
        ("Mount nuts", "lift", Stage.BEFORE_LANDING),
        ("Valve cover bolts", "clutch", Stage.BENCH),
        ("Clutch slave bolts", "split", Stage.MATING),
    ],
)
def test_a_group_goes_by_what_mating_hides_then_by_its_steps_role(
    name: str, step: str, expected: Stage
) -> None:
    assert stage(thing(Kind.FASTENER, name, "vehicle", step)) is expected


def test_a_group_that_holds_what_is_of_two_units_ties_them() -> None:
    bolts = thing(Kind.FASTENER, "Engine mount bolts", "vehicle", id="bolts")
    block = thing(Kind.PART, "Block bracket", "old engine", id="bracket")
    cup = thing(Kind.PART, "Mount", "vehicle", id="cup")
    tied = (Edge("bolts", "holds", "bracket"), Edge("bolts", "holds", "cup"))

    assert stage(bolts, block, cup, edges=tied, chosen=frozenset({"cup"})) is Stage.BEFORE_LANDING
    assert stage(bolts, block, cup, edges=tied) is Stage.NOT_SAID


def test_an_end_on_a_part_is_that_parts() -> None:
    plug = replace(hose("part", "vehicle"), id="plug")
    harness = thing(Kind.PART, "Harness", "new engine", id="harness")

    assert stage(plug, harness, edges=(Edge("plug", "joins", "harness"),)) is Stage.AFTER_LANDING


def test_an_exception_counts_with_a_reason_only() -> None:
    high = hose("vehicle", "old engine")
    early = {"x": SideException(ON_BEFORE, "no hand reaches it later")}
    bare = {"x": SideException(ON_BEFORE, " ")}

    assert stage(high, exceptions=early) is Stage.ON_BEFORE
    assert stage(high, exceptions=bare) is Stage.AFTER_LANDING
    late = {"x": SideException(STAYS_OFF, "the block would hit it")}
    assert stage(hose("old engine", "old engine"), exceptions=late) is Stage.AFTER_LANDING


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
        things, steps(), milestones=found.milestones, barriers=found.edges, unsaid=found.unsaid, **over
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


@pytest.mark.parametrize("clock", [1, -1])
def test_with_the_gearbox_in_the_vehicle_the_clutch_goes_on_before_the_engine_goes_in(clock: int) -> None:
    """Whatever was marked off last: the clutch on the stand, before or after all else."""
    items = engine_swap()
    off = {item.id: 50 + clock * nth for nth, item in enumerate(items)}
    joints = "hose radiator-part" if clock > 0 else "radiator-part hose"

    assert order(*items, off=off) == (
        f"clutch-bolts lift_in mating mounts housing landed {joints} power_on first_start start started "
        "hood-part moved drive"
    )


def test_out_together_they_mate_before_they_go_in() -> None:
    assert order(*engine_swap(), route=Route.TOGETHER_UP).startswith(
        "clutch-bolts mating housing lift_in mounts landed"
    )


def test_a_build_without_an_engine_removal_has_no_lift_and_no_mating() -> None:
    found = bounded(*engine_swap(), route=Route.NONE)

    assert found.milestones == ("power_on", "first_start", "started", "moved")
    assert found.unsaid == ()


def test_a_plan_without_a_first_start_is_not_bounded_by_one() -> None:
    items = [thing(Kind.PART, "Lamp", "vehicle", "hood")]
    bare = Sides(SWAP, Route.NONE, Route.NONE, {"x": items[0]}, roles={"hood": Role.NONE})

    assert barriers(items, bare, POSITIONS).milestones == ()
    assert barriers(items, bare, POSITIONS).edges == ()


def test_what_is_not_said_is_named_and_what_is_said_of_the_order_is_not_proved() -> None:
    items = [*engine_swap(), thing(Kind.FASTENER, "Bolts", "vehicle", id="bolts")]
    found = bounded(*items)
    things = tuple(thing_of(each) for each in items)

    assert found.unsaid == ("bolts",)
    assert not build_graph(Plan(things, unsaid=found.unsaid)).is_proved
    assert build_graph(Plan(things)).is_proved


def test_what_is_not_said_goes_on_before_the_first_start() -> None:
    words = order(*engine_swap(), thing(Kind.FASTENER, "Bolts", "vehicle", id="bolts")).split()

    assert words.index("bolts") < words.index("first_start")


def test_a_thing_goes_back_after_another_for_a_stated_reason() -> None:
    items = [thing(Kind.PART, name, "vehicle", "radiator", id=name) for name in "ab"]
    plain = order(*items, off={"a": 1, "b": 2}).split()
    stated = order(*items, off={"a": 1, "b": 2}, goes_after=(GoesAfter("b", "a", "room"),)).split()

    assert plain.index("b") < plain.index("a")
    assert stated.index("a") < stated.index("b")


@pytest.mark.parametrize("rel", ["seals", "closes"])
def test_what_seals_or_closes_something_comes_before_it(rel: str) -> None:
    items = [thing(Kind.PART, name, "vehicle", "radiator", id=name) for name in "ab"]
    words = order(*items, off={"a": 1, "b": 2}, edges=(Edge("a", rel, "b"),)).split()

    assert words.index("a") < words.index("b")


def test_studs_go_in_before_what_they_carry_and_nuts_after_it() -> None:
    items = [
        thing(Kind.PART, "Manifold", "vehicle", "radiator", id="manifold"),
        thing(Kind.FASTENER, "Manifold studs", "vehicle", "radiator", id="studs"),
        thing(Kind.FASTENER, "Nuts on the studs", "vehicle", "radiator", id="nuts"),
    ]
    held = (Edge("studs", "holds", "manifold"), Edge("nuts", "holds", "manifold"))
    words = order(*items, off={"nuts": 1, "manifold": 2, "studs": 3}, edges=held).split()

    assert words.index("studs") < words.index("manifold") < words.index("nuts")


def test_a_fluid_is_filled_after_its_whole_circuit_is_closed() -> None:
    oil = Item("oil", 1, Kind.FLUID, "Engine oil", "clutch", detail=Fluid("engine oil"))
    filter_ = thing(Kind.PART, "Oil filter", "vehicle", "clutch", id="filter")
    plan = Plan((thing_of(oil, off_seq=9), thing_of(filter_, off_seq=1, system="engine oil")), steps())
    graph = build_graph(plan)

    assert [graph.nodes[i].of for i in graph.order if graph.nodes[i].what == PLACE] == ["filter", "oil"]


def test_a_stated_order_against_a_milestone_is_told_with_both_sides() -> None:
    inner = replace(hose("old engine", "old engine"), id="inner")
    with pytest.raises(CycleError) as caught:
        order(*engine_swap(), inner, goes_after=(GoesAfter("inner", "hose", "odd"),))

    assert {"inner", "hose", "lift_in", "landed"} <= set(caught.value.members)


def test_what_is_tightened_at_ride_height_is_only_placed_before_the_lift() -> None:
    items = [thing(Kind.FASTENER, "Arm bolts", "old engine", "clutch", id="arm"), *engine_swap()]
    later = InstallException("arm", "hood", "later", reason="at ride height")
    assert order(*items, install_exceptions=(later,)).split()[0] in {"arm", "clutch-bolts"}
