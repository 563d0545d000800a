from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.cycles import CycleError
from app.core.items.items import Edge
from app.core.items.kinds import Kind
from app.core.order.acts import (
    CHECK,
    FINISH,
    OUT,
    Plan,
    PlanStep,
    Progress,
    StepEdge,
    Thing,
)
from app.core.order.graph import ACTS
from app.core.order.graph_builder import build_graph
from app.core.order.progress import OrderProgress
from app.core.order.ready import Demand, Held, Here, Now, now
from app.core.phases.barriers import PLACED, WORKED, Barrier
from app.core.procurement.outstanding import Unavailable
from tests.core.order.plans import bolts, edges, plans, things

IN = Progress(placed=True, finished=True, looked_at=True)
SHOP = Unavailable("away", "the machine shop", date(2031, 3, 12))
ANYWAY = Here()


def ask(
    plan: Plan,
    here: Here = ANYWAY,
    *,
    inside: str = "",
    stuck: dict[str, str] | None = None,
    unavailable: dict[str, Unavailable] | None = None,
    demands: dict[str, Demand] | None = None,
) -> Now:
    stand = OrderProgress(build_graph(plan), dict.fromkeys(inside, IN))
    return now(stand, demands or {}, here, stuck=stuck or {}, unavailable=unavailable or {})


@given(plans(), st.data())
@settings(max_examples=250)
def test_ready_is_exactly_what_has_all_before_it_in_and_each_reason_is_true(
    plan: Plan, data: st.DataObject
) -> None:
    try:
        graph = build_graph(plan)
    except CycleError:
        return
    standings = st.builds(Progress, st.booleans(), st.booleans(), st.booleans(), st.integers(1, 3))
    standing = {of: data.draw(standings) for of in graph.acts}
    some = st.dictionaries(st.sampled_from([*graph.acts, "?"]), st.just("undecided"), max_size=2)
    stuck, away = data.draw(some), data.draw(some)
    unavailable = dict.fromkeys(away.keys() - stuck.keys(), SHOP)
    stand = OrderProgress(graph, standing)
    found = now(stand, {}, ANYWAY, stuck=stuck, unavailable=unavailable)

    def is_in(i: int) -> bool:
        """Say it by the definition, without any order."""
        of, what, nth = graph.nodes[i]
        if what not in ACTS:
            return all(map(is_in, graph.before[i]))
        state = standing[of]
        if what in {FINISH, CHECK}:
            return (state.finished if what == FINISH else state.looked_at) and is_in(graph.last_place[of])
        if of not in graph.fitted_again:
            return state.placed
        placings = state.round - graph.fitted_again[of] + state.placed
        takings = state.round - graph.fitted_again[of]
        return takings >= nth if what == OUT else placings >= nth

    next_node = {of: [i for i in acts if not is_in(i)] for of, acts in graph.acts.items()}
    next_node = {of: acts[:1] for of, acts in next_node.items() if acts}
    free = {of for of, (act,) in next_node.items() if all(map(is_in, graph.before[act]))}
    assert set(found.ready) == free - stuck.keys() - unavailable.keys()
    assert sorted([*found.ready, *(held.item for held in found.held)]) == sorted(next_node)
    for held in found.held:
        cause = held.other or held.item
        assert not held.other or held.other in stand.skipped(held.item)
        if held.code == "behind":
            assert cause in found.ready
        else:
            assert cause in (stuck if held.code == "undecided" else unavailable)


def test_nothing_is_held_back_by_time() -> None:
    assert ask(Plan(things("abc"))).ready == ("c", "b", "a")


def test_what_is_behind_names_the_nearest_that_can_be_acted_on() -> None:
    plan = Plan(things("abcd"), edges=edges("a covers b", "b covers c"))

    assert ask(plan) == Now(("d", "c"), (Held("b", "behind", "c"), Held("a", "behind", "c")), ("d",))
    assert ask(plan, inside="c").held == (Held("a", "behind", "b"),)


def test_of_two_chains_the_shorter_is_named() -> None:
    plan = Plan(things("abcd"), edges=edges("a covers b", "b covers d", "a covers c"))

    assert ask(plan).held[-1] == Held("a", "behind", "c")


def test_what_is_away_holds_itself_and_what_comes_over_it() -> None:
    plan = Plan(things("abc"), edges=edges("a covers b"))

    assert ask(plan, unavailable={"b": SHOP}) == Now(
        ("c",), (Held("b", "unavailable", unavailable=SHOP), Held("a", "unavailable", "b", SHOP)), ("c",)
    )


def test_what_is_away_is_named_and_not_what_it_waits_for_itself() -> None:
    plan = Plan(things("abc"), edges=edges("a covers b", "b covers c"))

    assert ask(plan, unavailable={"b": SHOP}).held[-1] == Held("a", "unavailable", "b", SHOP)


def test_beside_something_away_what_can_be_acted_on_is_named() -> None:
    plan = Plan(things("abc"), edges=edges("a covers b", "a covers c"))

    assert ask(plan, unavailable={"c": SHOP}).held[-1] == Held("a", "behind", "b")


def test_what_is_undecided_waits_for_the_decision_also_when_something_is_before_it() -> None:
    plan = Plan(things("ab"), edges=edges("a covers b"))

    assert ask(plan, stuck={"a": "undecided"}).held == (Held("a", "undecided"),)
    assert ask(plan, stuck={"b": "undecided"}).held[-1] == Held("a", "undecided", "b")


def test_people_height_and_minutes_hold_only_what_could_be_done_otherwise() -> None:
    plan = Plan(things("abc"), edges=edges("a covers b"))
    ask_much = Demand("stands", 2, 40)

    assert ask(plan, Here(1, "wheels", 20), demands={"b": ask_much, "a": ask_much}).held == (
        Held("b", "height", need="stands"),
        Held("a", "behind", "b"),
    )
    assert ask(plan, Here(1, "stands", 20), demands={"b": ask_much}).held[0] == Held("b", "people", need="2")
    assert ask(plan, Here(2, "stands", 20), demands={"b": ask_much}).held[0] == Held(
        "b", "minutes", need="40", have="20"
    )
    assert ask(plan, Here(2, "stands", 40), demands={"b": ask_much}).ready == ("c", "b")


def test_work_on_the_bench_waits_for_no_height_and_the_bench_alone_serves_nothing_else() -> None:
    plan = Plan(things("ab"))
    demands = {"a": Demand("bench"), "b": Demand("wheels")}

    assert ask(plan, Here(height="wheels"), demands=demands).ready == ("b", "a")
    assert ask(plan, Here(height="bench"), demands=demands).ready == ("a",)


def test_a_joint_is_started_everywhere_before_one_group_is_tightened() -> None:
    plan = Plan((Thing("p", off_seq=3), bolts("a", 1), bolts("b", 2)), edges=edges("a holds p", "b holds p"))
    stand = OrderProgress(build_graph(plan), {"p": IN, "b": Progress(placed=True)})

    assert now(stand, {}, ANYWAY, stuck={}, unavailable={}).held == (Held("b", "behind", "a"),)
    assert stand.in_turn() == ("p", "a", "b")


def test_a_whole_step_that_comes_first_is_what_the_next_one_is_behind() -> None:
    steps = (PlanStep("S", 0), PlanStep("T", 1))
    made = (Thing("a", step="S", off_seq=1), Thing("b", step="S", off_seq=2), Thing("c", step="T", off_seq=3))
    plan = Plan(made, steps, step_edges=(StepEdge("S", "T"),))

    assert ask(plan).held == (Held("c", "behind", "b"),)
    assert ask(plan, inside="ab").ready == ("c",)


def test_three_good_things_are_short_for_one_without_cautions_and_in_zones_of_their_own() -> None:
    plan = Plan(things("abcdefghi"))
    good = Demand(minutes=15, zone="1")
    demands = {
        "i": good,
        "h": good,
        "g": Demand(minutes=16, zone="2"),
        "f": Demand(people=2, zone="3"),
        "e": Demand(for_anybody=False, zone="4"),
        "d": Demand(critical=True, zone="5"),
        "c": Demand(zone="6"),
        "b": Demand(zone="7"),
        "a": Demand(zone="8"),
    }

    assert ask(plan, demands=demands).good == ("i", "c", "b")


def test_a_second_look_is_something_to_do_and_holds_nothing_up() -> None:
    steps = (PlanStep("S", 0), PlanStep("T", 1))
    made = (Thing("a", step="S", off_seq=1), Thing("b", step="T", off_seq=2, looked_at=True))
    plan = Plan(made, steps, edges("a covers b"), (StepEdge("T", "S"),))
    stand = OrderProgress(build_graph(plan), {"b": Progress(placed=True, finished=True)})

    assert now(stand, {}, ANYWAY, stuck={}, unavailable={}).ready == ("b", "a")


def test_what_never_came_off_or_is_done_is_not_asked_for() -> None:
    made = (Thing("a", Kind.PART, off_seq=1), Thing("b", off_seq=2, goes_back=False))

    assert ask(Plan(made, edges=(Edge("a", "covers", "b"),)), inside="a") == Now((), (), ())


BOUND = Plan(
    (Thing("clutch", Kind.FASTENER, off_seq=1, finishes=True), Thing("hose", off_seq=2)),
    milestones=("lift_in", "landed"),
    barriers={"clutch": (Barrier(WORKED, "lift_in", True),), "hose": (Barrier(PLACED, "landed", False),)},
)


def held(reached: frozenset[str] | None, **standing: Progress) -> tuple[Held, ...]:
    progress = OrderProgress(build_graph(BOUND), standing, reached)
    return now(progress, {}, Here(), stuck={}, unavailable={}).held


def test_before_a_milestone_what_comes_first_is_the_reason() -> None:
    assert held(frozenset()) == (Held("hose", "behind", "clutch"),)


def test_once_all_before_it_is_in_the_milestone_itself_is_the_reason() -> None:
    assert held(frozenset(), clutch=IN) == (Held("hose", "milestone", "lift_in"),)
    assert held(frozenset({"lift_in"}), clutch=IN) == (Held("hose", "milestone", "landed"),)
    assert held(frozenset({"lift_in", "landed"}), clutch=IN) == ()


def test_a_milestone_that_has_been_frees_what_comes_after_it_whatever_was_left_before_it() -> None:
    assert held(frozenset({"lift_in", "landed"})) == ()


def test_where_nobody_writes_milestones_down_they_have_been_once_all_before_them_is_in() -> None:
    assert held(None) == (Held("hose", "behind", "clutch"),)
    assert held(None, clutch=IN) == ()
