"""On which side of each milestone a thing belongs, and the order that follows."""

from dataclasses import replace
from typing import Any

import pytest

from app.core.cycles import CycleError
from app.core.items.items import Edge, Fluid, Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.order.acts import PLACE, GoesAfter, InstallException, Plan, thing_of
from app.core.order.graph_builder import build_graph
from app.core.phases.barriers import LOOKED, PLACED, WORKED, barriers, bounds
from app.core.phases.routes import Route
from app.core.phases.sides import Sides
from app.core.phases.stages import Stage
from tests.core.phases.swap import (
    POSITIONS,
    SWAP,
    bounded,
    engine_swap,
    hose,
    order,
    sides,
    steps,
    thing,
)


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


def test_what_goes_in_together_has_its_mating_before_its_lift_in() -> None:
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
    assert barriers(items, bare, POSITIONS).bounds == {"x": ()}


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
    filter_ = replace(thing(Kind.PART, "Oil filter", "vehicle", "clutch", id="filter"), system="engine oil")
    plan = Plan((thing_of(oil, off_seq=9), thing_of(filter_, off_seq=1)), steps())
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


def is_behind(later: str, earlier: str, *items: Item, route: Route, **over: Any) -> bool:
    """Whether an act waits for another, directly or through others; each such as "mounts place"."""
    found = bounded(*items, route=route)
    things = tuple(thing_of(each) for each in items)
    graph = build_graph(Plan(things, steps(), milestones=found.milestones, barriers=found.bounds, **over))
    names = [f"{node.of} {node.what}" for node in graph.nodes]
    seen, ahead = set[int](), [names.index(later)]
    while ahead:
        more = set(graph.before[ahead.pop()]) - seen
        seen |= more
        ahead += more
    return names.index(earlier) in seen


MOUNTS = thing(Kind.FASTENER, "Mount nuts", "vehicle", "lift", id="mounts")


@pytest.mark.parametrize("route", [Route.ENGINE_UP, Route.TOGETHER_UP])
def test_mounts_are_fitted_once_it_is_mated_and_tightened_once_they_carry_it(route: Route) -> None:
    for later, earlier in (
        ("mounts place", "mating milestone"),
        ("landed milestone", "mounts place"),
        ("mounts finish", "landed milestone"),
    ):
        assert is_behind(later, earlier, MOUNTS, route=route), later


def test_when_a_mount_is_fitted_and_tightened_yields_to_what_is_stated_and_that_it_carries_does_not() -> None:
    bracket = thing(Kind.PART, "Bracket", "vehicle", "lift", id="bracket")
    nuts = replace(MOUNTS, owner="old engine")
    tied, chosen = (Edge("mounts", "holds", "bracket"),), frozenset({"mounts", "bracket"})
    known = sides(nuts, bracket, edges=tied, chosen=chosen)
    firm = {
        (each.what, each.milestone): each.is_firm
        for each in barriers([nuts], known, POSITIONS).bounds["mounts"]
        if each.milestone in {"lift_in", "mating", "landed"} and not each.is_before
    }

    assert firm == {(PLACED, "lift_in"): True, (PLACED, "mating"): False, (WORKED, "landed"): False}


@pytest.mark.parametrize(
    ("where", "route", "milestone"),
    [
        (Stage.BENCH, Route.ENGINE_UP, "lift_in"),
        (Stage.CART, Route.SUBFRAME_DOWN, "lift_in"),
        (Stage.MATING, Route.ENGINE_UP, "landed"),
        (Stage.MATING, Route.TOGETHER_UP, "lift_in"),
    ],
)
def test_a_second_look_comes_before_the_act_whose_check_waits_for_it(
    where: Stage, route: Route, milestone: str
) -> None:
    assert (LOOKED, milestone, True) in bounds(where, Kind.FASTENER, route)


def test_what_the_plan_has_after_the_start_may_be_done_before_it_and_is_done_by_the_drive() -> None:
    own = bounded(*engine_swap()).bounds["hood-part"]

    assert [(each.what, each.milestone, each.is_before) for each in own] == [(WORKED, "moved", True)]


def test_what_is_tightened_in_a_later_step_is_tight_by_the_drive_and_not_by_the_lift() -> None:
    arm = thing(Kind.FASTENER, "Arm bolts", "old engine", "clutch", id="arm")
    items = (arm, *engine_swap())
    later = (InstallException("arm", "hood", "later", reason="at ride height"),)

    def waits(milestone: str, act: str) -> bool:
        return is_behind(milestone, act, *items, route=Route.ENGINE_UP, install_exceptions=later)

    assert waits("lift_in milestone", "arm place")
    assert not waits("lift_in milestone", "arm finish")
    assert waits("moved milestone", "arm finish")
