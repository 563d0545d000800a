"""Mounts are tightened after exhaust and shafts."""

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.order.acts import FINISH, GoesAfter, Plan, thing_of
from app.core.order.graph_builder import build_graph
from app.core.phases.barriers import Barriers, barriers
from app.core.phases.routes import Route
from app.core.phases.settling import NO_SETTLING
from tests.core.phases.swap import POSITIONS, sides, steps, thing

MOUNTS = thing(Kind.FASTENER, "Mount nuts", "", "lift", id="mounts")
SHAFT = thing(Kind.FASTENER, "Half-shaft bolts", "", "radiator", id="shaft")
FLANGE = thing(Kind.FASTENER, "Flange nuts", "", "radiator", id="flange")
SEAL = thing(Kind.FASTENER, "Shaft seal bolts", "", "radiator", id="seal")
MANIFOLD = thing(Kind.FASTENER, "Exhaust manifold nuts", "", "clutch", id="manifold")


def bounded(*items: Item, route: Route = Route.ENGINE_UP, step: str = "") -> Barriers:
    return barriers(items, sides(*items, route=route), POSITIONS, {"radiator": step})


def tightened(found: Barriers, *items: Item, after: tuple[GoesAfter, ...] = ()) -> list[str]:
    """Return the groups in the order in which they are tightened."""
    things = tuple(thing_of(each, off_seq=nth + 1) for nth, each in enumerate(items))
    plan = Plan(
        things, steps(), goes_after=after, milestones=found.milestones, barriers=found.bounds,
        settling=found.settling,
    )  # fmt: skip
    graph = build_graph(plan)
    return [graph.nodes[i].of for i in graph.order if graph.nodes[i].what == FINISH]


def test_mounts_settle_on_what_pulls_at_the_engine_by_its_name_and_by_its_step() -> None:
    everything = (MOUNTS, SHAFT, FLANGE, SEAL, MANIFOLD)
    assert bounded(*everything).settling.mounts == ("mounts",)
    assert bounded(*everything).settling.pulls == ("shaft",)
    assert bounded(*everything, step="Exhaust off").settling.pulls == ("shaft", "flange", "seal")
    assert bounded(SHAFT).settling == NO_SETTLING
    assert bounded(MOUNTS, SHAFT, route=Route.NONE).settling == NO_SETTLING


def test_mounts_are_tightened_last_whatever_came_off_last() -> None:
    items = (SHAFT, MOUNTS)
    assert tightened(bounded(*items), *items) == ["shaft", "mounts"]
    items = (MOUNTS, SHAFT)
    assert tightened(bounded(*items), *items) == ["shaft", "mounts"]


def test_what_is_stated_to_go_on_after_a_mount_is_not_tight_before_it() -> None:
    items = (MOUNTS, SHAFT, FLANGE)
    after = (GoesAfter("shaft", "mounts", "the manual says so"),)
    found = tightened(bounded(*items, step="Exhaust off"), *items, after=after)
    assert found == ["flange", "mounts", "shaft"]


def test_a_subframe_s_bolts_are_no_mounts_though_they_bear() -> None:
    frame = thing(Kind.FASTENER, "Subframe bolts", "", "lift", id="frame")
    assert bounded(frame, SHAFT, route=Route.SUBFRAME_DOWN).settling == NO_SETTLING


def test_converter_bolts_go_in_once_every_bellhousing_bolt_is_tight() -> None:
    upper, converter, lower, starter = (
        thing(Kind.FASTENER, name, "", "split", id=key)
        for key, name in (
            ("upper", "Upper bellhousing bolts"),
            ("converter", "Torque converter bolts"),
            ("lower", "Lower bellhousing bolts"),
            ("starter", "Starter bolts"),
        )
    )
    items = (upper, converter, lower, starter)
    found = bounded(*items, route=Route.TOGETHER_UP)
    assert (found.settling.converters, found.settling.housings) == (("converter",), ("upper", "lower"))
    order = tightened(found, *items)
    assert order.index("converter") > max(order.index("upper"), order.index("lower"))
