"""What still joins engine and vehicle before the lift, and what mating hides."""

from dataclasses import dataclass
from typing import Any

import pytest

from app.core.gates.gates import STAYS_OFF, Gate, GateFacts, GateState, Pass, fold_gate
from app.core.gates.selections import (
    GatePlan,
    clear_key,
    gate_plan,
    is_blind,
    missing_in,
    select,
    ties_of,
    why_joined,
)
from app.core.items.items import Connection, Edge, End, Fastener, Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Role
from app.core.order.acts import StepEdge
from tests.core.ledger.standing import Stands, item, stands

PLAN = GatePlan({"early": 2, "lift": 9, "bench": 10, "last": 1}, 9, frozenset({"last"}))
LIFT = Gate("lift", "Before the lift", "", "joining")
MATING = Gate("mating", "Before mating", "", "mating", words=("dowel", "clutch"), not_words=("clutch line",))


def why(line: Stands, *others: Stands, edges: tuple[Edge, ...] = (), facts: GateFacts | None = None) -> str:
    by_id = {each.item.id: each for each in (line, *others)}
    plan = GatePlan(PLAN.steps, PLAN.lift, PLAN.starts, ties_of(edges))
    return why_joined(line, by_id, plan, facts or GateFacts())


def hose(*owners: str, **over: str) -> Item:
    ends = tuple(End("ABCD"[i], f"end {i}", owner) for i, owner in enumerate(owners))
    return item(Kind.CONNECTION, detail=Connection(type="coolant hose", ends=ends), **over)


@pytest.mark.parametrize("act", [None, Act.LOOSENED, Act.SEATED, Act.LATCHED, Act.ROUTED])
def test_a_connection_that_is_not_off_joins_engine_and_vehicle(act: Act | None) -> None:
    line = stands(hose("vehicle", "old engine", step="bench"), *([act] if act else []))
    assert why(line) == "joins"


@pytest.mark.parametrize("act", [Act.OFF, Act.ALREADY_OFF, Act.UNUSED])
def test_a_connection_that_is_off_joins_nothing(act: Act) -> None:
    assert why(stands(hose("vehicle", "old engine"), act)) == ""


def test_a_connection_within_the_vehicle_or_within_the_engine_joins_nothing() -> None:
    assert why(stands(hose("vehicle", "vehicle"))) == ""
    assert why(stands(hose("old engine", "old engine"))) == ""


def test_a_harness_may_belong_to_either_side_and_a_connection_without_words_too() -> None:
    assert why(stands(hose("part", "old engine"))) == "joins"
    assert why(stands(hose("part", "part"))) == "joins"
    assert why(stands(item(Kind.CONNECTION, detail=Connection()))) == "ends-unknown"


def test_each_joint_of_a_tee_counts_by_its_own_end() -> None:
    tee = hose("vehicle", "old engine", "vehicle")
    off_the_engine = Stands(tee, stands(tee, lines=(_off(1),)).state)
    off_the_rest = Stands(tee, stands(tee, lines=(_off(2),)).state)
    assert why(off_the_engine) == ""
    assert why(off_the_rest) == "joins"


def _off(position: int) -> Line:
    return Line("o", "item:1", "mark", {"act": "off", "pos": [position]}, frozenset(), "Ada")


def test_what_is_tied_aside_is_named_until_somebody_says_that_it_is_clear_and_again_when_it_moved() -> None:
    line = stands(item(Kind.PART), Act.OFF, Act.ASIDE)
    assert why(line) == "aside"
    answer = {"question": clear_key(line.item), "value": list(line.state.tips)}
    seen = fold_gate([Line("c", "gate:1", "answer", answer, frozenset(), "Ada")])
    assert why(line, facts=seen) == ""
    assert why(stands(item(Kind.PART), Act.OFF, Act.ASIDE, Act.OFF, Act.ASIDE), facts=seen) == "aside"


@pytest.mark.parametrize("kind", [Kind.FASTENER, Kind.PART, Kind.FLUID])
def test_what_was_to_come_off_before_the_lift_and_is_still_on_is_named(kind: Kind) -> None:
    assert why(stands(item(kind, step="early"))) == "planned"
    assert why(stands(item(kind, step="bench"))) == ""


@pytest.mark.parametrize("kind", [Kind.FASTENER, Kind.PART])
def test_what_is_only_loosened_before_the_lift_is_named(kind: Kind) -> None:
    assert why(stands(item(kind, step="early"), Act.LOOSENED)) == "planned"
    assert why(stands(item(kind, step="early"), Act.OFF)) == ""


@pytest.mark.parametrize("act", [None, Act.LOOSENED, Act.HAND_TIGHT, Act.TIGHT])
def test_bolts_that_tie_a_thing_of_the_engine_to_one_of_the_vehicle_join_them(act: Act | None) -> None:
    bracket = stands(item(Kind.PART, "2", owner="new engine"), Act.OFF)
    frame = stands(item(Kind.PART, "3", owner="vehicle"), Act.OFF)
    bolts = stands(item(Kind.FASTENER, step="bench", detail=Fastener()), *([act] if act else []))
    edges = (Edge("1", "holds", "2"), Edge("1", "joins", "3"))
    assert why(bolts, bracket, frame, edges=edges) == "joins"
    assert why(bolts, bracket, edges=edges[:1]) == ""
    assert why(stands(bolts.item, Act.OFF), bracket, frame, edges=edges) == ""


@pytest.mark.parametrize("kind", [Kind.LOCATOR, Kind.TEMPORARY, Kind.FINDING, Kind.STEP])
def test_what_cannot_hold_an_engine_is_no_line_of_the_lift(kind: Kind) -> None:
    assert select(LIFT, [stands(item(kind, step="early"))], PLAN, GateFacts()) == ()


def test_mating_looks_at_dowels_and_clutch_and_all_that_came_off_after_the_lift() -> None:
    dowel = stands(item(Kind.LOCATOR, "1", name="Dowel, left", step="early"), Act.OFF)
    cover = stands(item(Kind.FASTENER, "2", name="Cover bolts", step="bench"), Act.OFF)
    hose_of_clutch = stands(item(Kind.CONNECTION, "3", name="Clutch line", step="early"), Act.OFF)
    done = stands(item(Kind.PART, "4", name="Clutch", step="bench"), Act.OFF, Act.PLACED)
    before = stands(item(Kind.FASTENER, "5", name="Cover bolts", step="early"), Act.OFF)
    step = stands(item(Kind.STEP, "6", name="Fill", step="bench"))
    lines = [dowel, cover, hose_of_clutch, done, before, step]
    assert [line.item.id for line in select(MATING, lines, PLAN, GateFacts())] == ["1", "2"]


def test_the_start_gate_looks_at_everything_but_the_start_itself() -> None:
    step = stands(item(Kind.STEP, "last"))
    hood = stands(item(Kind.PART, "2"), Act.OFF)
    start = Gate("start", "", "", "all")
    assert [line.item.id for line in select(start, [step, hood], PLAN, GateFacts())] == ["2"]
    move = Gate("move", "", "", "all_and_after")
    assert [line.item.id for line in select(move, [step, hood], PLAN, GateFacts())] == ["last", "2"]


def test_a_trial_start_lets_off_what_is_named_and_nothing_else() -> None:
    hood, exhaust = stands(item(Kind.PART, "2"), Act.OFF), stands(item(Kind.PART, "3"), Act.OFF)
    named = fold_gate(
        [Line("c", "gate:1", "answer", {"question": STAYS_OFF, "value": ["2"]}, frozenset(), "Ada")]
    )
    trial = Gate("trial", "", "", "all_but")
    assert [line.item.id for line in select(trial, [hood, exhaust], PLAN, named)] == ["3"]


def test_two_lists_of_what_stays_off_that_had_not_seen_each_other_let_nothing_off() -> None:
    hood = stands(item(Kind.PART, "2"), Act.OFF)
    lines = [
        Line(who, "gate:1", "answer", {"question": STAYS_OFF, "value": value}, frozenset(), who)
        for who, value in (("Ada", ["2"]), ("Ben", ["2", "3"]))
    ]
    trial = Gate("trial", "", "", "all_but")
    assert select(trial, [hood], PLAN, fold_gate(lines)) == (hood,)


def test_an_odd_answer_about_something_aside_says_nothing() -> None:
    line = stands(item(Kind.PART), Act.OFF, Act.ASIDE)
    odd_values: list[Any] = ["yes", [["0"]], [{}], None]
    for value in odd_values:
        odd = {"question": clear_key(line.item), "value": value}
        assert why(line, facts=fold_gate([Line("c", "gate:1", "answer", odd, frozenset(), "Ada")])) == "aside"


@dataclass(frozen=True)
class Planned:
    id: str
    position: int
    role: Role = Role.NONE
    name: str = ""


STEPS = (
    *(Planned("move", 0, Role.MOVE), Planned("tray", 1), Planned("start", 2, Role.FIRST_START)),
    *(Planned("wires", 3, Role.JOINTS), Planned("lift", 4, Role.LIFT), Planned("split", 5, Role.MATING)),
    Planned("bench", 6, Role.BENCH),
)


def test_the_plan_knows_the_lift_and_the_start_by_their_roles() -> None:
    plan = gate_plan(STEPS)

    assert (plan.lift, set(plan.starts), set(plan.moves)) == (4, {"start"}, {"move"})
    assert plan.roles["bench"] is Role.BENCH
    assert "tray" not in plan.roles


def test_without_a_lift_all_steps_come_before_it() -> None:
    assert gate_plan(step for step in STEPS if step.role is not Role.LIFT).lift == 6


def test_what_is_parted_in_mating_hides_nothing_from_itself() -> None:
    lines = [stands(item(Kind.FASTENER, at, name="Bolts", step=at), Act.OFF) for at in ("split", "bench")]

    assert [line.item.id for line in select(MATING, lines, gate_plan(STEPS), GateFacts())] == ["bench"]


def test_work_of_the_bench_is_hidden_by_mating_wherever_the_plan_has_it() -> None:
    early = (Planned("early", 0, Role.BENCH), Planned("lift", 1, Role.LIFT))
    line = stands(item(Kind.FASTENER, step="early", name="Bolts"), Act.OFF)

    assert select(MATING, [line], gate_plan(early), GateFacts()) == (line,)


def test_the_drive_keeps_neither_the_start_nor_itself_shut() -> None:
    drive, fill = stands(item(Kind.STEP, "move", step="move")), stands(item(Kind.STEP, "2", step="2"))
    for selection in ("all", "all_but", "all_and_after"):
        gate = Gate("any", "", "", selection)
        assert select(gate, [drive, fill], gate_plan(STEPS), GateFacts()) == (fill,)


def test_what_is_stated_to_follow_the_start_keeps_it_open_only_where_it_is_critical() -> None:
    orders = (StepEdge("start", "tray", "leaks first"), StepEdge("tray", "later", "so"))
    plan = gate_plan(STEPS, (), orders)
    tray = stands(item(Kind.PART, "1", step="tray"), Act.OFF)
    later = stands(item(Kind.PART, "2", step="later"), Act.OFF)
    critical = stands(item(Kind.PART, "3", step="tray", critical=True), Act.OFF)
    start, move = Gate("start", "", "", "all"), Gate("move", "", "", "all_and_after")

    assert plan.after_start == {"tray", "later"}
    assert select(start, [tray, later, critical], plan, GateFacts()) == (critical,)
    assert select(start, [tray], gate_plan(STEPS), GateFacts()) == (tray,)
    assert select(move, [tray, later, critical], plan, GateFacts()) == (tray, later, critical)


def test_orders_that_go_round_the_start_end() -> None:
    orders = (StepEdge("start", "tray", "a"), StepEdge("tray", "start", "b"))

    assert gate_plan(STEPS, (), orders).after_start == {"tray"}


def test_a_gate_says_which_roles_it_goes_by_and_no_step_has() -> None:
    gate = Gate("mating", "", "", "mating", needs=(Role.LIFT, Role.MATING))

    assert missing_in(gate, gate_plan(STEPS)) == ()
    assert missing_in(gate, gate_plan(STEPS[:4])) == (Role.LIFT, Role.MATING)


def test_mating_is_blind_where_neither_lift_nor_bench_is_known_and_no_other_gate_is() -> None:
    assert is_blind(MATING, gate_plan(STEPS[:4]))
    assert not is_blind(LIFT, gate_plan(STEPS[:4]))
    assert not is_blind(MATING, gate_plan([Planned("1", 0, Role.BENCH)]))
    assert not is_blind(MATING, gate_plan([Planned("1", 0, Role.LIFT)]))


def test_a_gate_that_is_blind_is_open_whoever_passed_it() -> None:
    facts = GateFacts(passes=(Pass("p", "Ada", ""),), newest=frozenset({"p"}))

    assert GateState(MATING, (), (), facts).word == "green"
    blind: GateState[Stands] = GateState(MATING, (), (), facts, (Role.LIFT,), is_blind=True)
    assert (blind.word, blind.is_green, blind.count) == ("open", False, 1)
