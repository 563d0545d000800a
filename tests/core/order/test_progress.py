from app.core.order.acts import (
    FINISH,
    OUT,
    PLACE,
    InstallException,
    Plan,
    PlanStep,
    Progress,
)
from app.core.order.graph_builder import build_graph
from app.core.order.progress import OrderProgress
from tests.core.order.plans import bolts, edges, things

IN = Progress(placed=True, finished=True, looked_at=True)


def test_what_a_next_act_would_skip_is_all_that_is_before_it_and_open() -> None:
    stand = OrderProgress(
        build_graph(Plan(things("abcd"), edges=edges("a covers b", "b covers c", "c covers d"))), {"c": IN}
    )

    assert stand.skipped("a") == ("b",)
    assert stand.blocking("a") == ("b",)
    stand = OrderProgress(stand.graph, {})
    assert stand.skipped("a") == ("d", "c", "b")
    assert stand.blocking("a") == ("b",)
    assert OrderProgress(stand.graph, {"a": IN}).skipped("a") == ()


def test_what_is_fitted_twice_is_in_when_it_has_been_out_again() -> None:
    plan = Plan(
        things("a"), (PlanStep("S", 0),), install_exceptions=(InstallException("a", "S", "twice", nth=1),)
    )
    graph = build_graph(plan)

    def next_act(*, placed: bool, round_: int) -> str:
        stand = OrderProgress(graph, {"a": Progress(placed, placed, placed, round_)})
        return "".join(f"{graph.nodes[i].what}{graph.nodes[i].nth}" for i in stand.next_node.values())

    assert next_act(placed=False, round_=1) == f"{PLACE}1"
    assert next_act(placed=True, round_=1) == f"{OUT}1"
    assert next_act(placed=False, round_=2) == f"{PLACE}2"
    assert next_act(placed=True, round_=2) == ""


def test_a_group_that_was_fitted_for_a_trial_is_not_finished_when_it_is_tight() -> None:
    plan = Plan(
        (bolts("b", 1),), (PlanStep("S", 0),), install_exceptions=(InstallException("b", "S", "twice"),)
    )
    stand = OrderProgress(build_graph(plan), {"b": Progress(placed=True, finished=True)})

    assert not any(stand.inside[i] for i in stand.graph.acts["b"] if stand.graph.nodes[i].what == FINISH)
