"""Which gates a build has, which comes next, and the greens that would be false."""

import pytest
from sqlalchemy import text

from app.core.builds.gates import build_facts, gate_keys, gate_round, is_behind
from app.core.builds.snapshot import Entry
from app.core.gates.gate_state import GateState
from app.core.gates.gates import GateFacts, gate_subject
from app.core.items.items import Connection, End, Fastener, Item
from app.core.items.kinds import Act, Kind
from app.core.order.acts import LATER, InstallException
from app.core.phases.routes import Route
from app.core.phases.swap import chosen_swap
from app.store.gates import gate_ahead, gate_states
from app.store.plan.builds import layout
from app.store.plan.install_exceptions import set_install_exceptions
from tests.store.garage import NOW, Garage
from tests.swaps import ENGINE_UP, NO_ENGINE

ALL = ("hook_up", "lift", "lift_in", "mating", "landing", "trial", "start", "move")


def gate(garage: Garage, key: str) -> GateState[Entry]:
    with garage.database.reading() as session:
        return gate_states(session, garage.now())[key]


def step_with(role: str) -> str:
    return next(str(step["key"]) for step in layout("transverse")["steps"] if step["role"] == role)


def bolts(garage: Garage, name: str, step: str, *acts: Act) -> str:
    item_id = name.ljust(32, "0").encode().hex()[:32]
    detail = Fastener(torque="45 N·m", one_time="no")
    garage.add(Item(item_id, 0, Kind.FASTENER, name, garage.step(step), n=1, detail=detail), act=acts[0])
    for act in acts[1:]:
        seen = garage.entry(item_id).state.tips
        assert garage.receive(garage.line(f"item:{item_id}", after=seen, act=act.value)).status == 200
    return item_id


def test_a_build_has_the_gates_of_its_route(garage: Garage) -> None:
    assert gate_keys(garage.now()) == ("trial", "start", "move")
    garage.is_about(ENGINE_UP)
    assert gate_keys(garage.now()) == ALL
    garage.is_about(chosen_swap(Route.TOGETHER_UP, Route.TOGETHER_UP, new_engine=False, gearbox=True))
    assert gate_keys(garage.now()) == ("hook_up", "lift", "mating", "lift_in", *ALL[4:])


def test_mount_nuts_started_and_bellhousing_bolts_started_keep_the_engine_in(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    lift, mating = map(step_with, ("lift", "mating"))
    nuts = bolts(garage, "Mount nuts", lift, Act.OFF, Act.HAND_TIGHT)
    housing = bolts(garage, "Bellhousing bolts", mating, Act.OFF, Act.PLACED)

    assert {entry.item.id for entry in gate(garage, "lift").lines} == {nuts, housing}


def test_a_hose_with_an_end_on_each_side_keeps_it_in_though_it_is_tied_back(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    ends = (End("A", "radiator", "vehicle"), End("B", "block", "old engine"))
    hose = Item("c" * 32, 0, Kind.CONNECTION, "Hose", detail=Connection("coolant hose", ends=ends))
    garage.add(hose, act=Act.ASIDE)

    assert [each.why for each in gate(garage, "lift").open_lines] == ["aside-joined"]


def test_after_each_act_the_next_gate_is_ahead_and_the_one_before_is_behind(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    ahead = []
    for told in (
        "hook_up old",
        "rise old",
        "set_down old",
        "lift_in new",
        "mating new gearbox",
        "landed new",
    ):
        ahead.append(next_key(garage))
        garage.milestones(told)
    assert ahead == ["hook_up", "lift", "lift_in", "lift_in", "mating", "landing"]
    assert next_key(garage) == "start"
    assert is_behind("landing", garage.now())


def next_key(garage: Garage) -> str:
    with garage.database.reading() as session:
        found = gate_ahead(session, garage.now())
    return found.gate.key if found else ""


def test_a_rise_after_a_lift_in_opens_a_round_in_which_everything_is_asked_again(garage: Garage) -> None:
    garage.is_about(chosen_swap(Route.ENGINE_UP, Route.ENGINE_UP, new_engine=False, gearbox=True))
    garage.milestones("hook_up engine", "rise engine", "set_down engine", "lift_in engine")
    assert gate_round(garage.now()) == 1
    garage.milestones("rise engine")
    assert gate_round(garage.now()) == 2


def test_what_was_passed_for_the_engine_that_left_lets_no_other_one_rise(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    garage.milestones("hook_up old", "rise old", "set_down old")
    for key in ("lift", "mating"):
        passed = garage.line(gate_subject(garage.build, key), "pass", gate=key, open=[])
        assert garage.receive(passed).status == 200
    assert gate(garage, "lift").is_passed

    garage.milestones("lift_in new")
    assert not gate(garage, "lift").is_passed
    assert gate(garage, "mating").is_passed
    passed = garage.line(gate_subject(garage.build, "lift"), "pass", gate="lift", open=[], round=2)
    assert garage.receive(passed).status == 200
    garage.milestones("rise new")
    assert (gate(garage, "lift").is_passed, gate(garage, "mating").is_passed) == (True, False)


@pytest.mark.parametrize("swap", [None, NO_ENGINE])
def test_until_somebody_says_what_the_build_is_about_no_gate_can_be_sure(
    garage: Garage, swap: object
) -> None:
    if swap is None:
        with garage.database.unit_of_work() as session:
            session.execute(text("UPDATE build SET swap = '{}'"))
    assert ("route" in gate(garage, "start").open_ids) == (swap is None)


def test_the_start_gate_wants_the_engine_in_and_landed(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    assert gate(garage, "start").look.missing == ("lift_in", "mating", "landed")


@pytest.mark.parametrize(("role", "is_deferred"), [("joints", True), ("bench", False)])
def test_what_is_tightened_later_in_the_vehicle_waits_for_no_gate_before_it(
    garage: Garage, role: str, *, is_deferred: bool
) -> None:
    garage.is_about(ENGINE_UP)
    nuts = bolts(garage, "Shield nuts", step_with("mating"), Act.OFF)
    step = garage.step(step_with(role))
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{nuts}", "edit", {})
        later = [InstallException(nuts, step, LATER, reason="no room before")]
        assert set_install_exceptions(session, nuts, later, line, rev=1, now=NOW) is None

    assert (nuts in build_facts(garage.now(), GateFacts()).deferred) is is_deferred
