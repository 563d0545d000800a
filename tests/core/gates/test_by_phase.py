"""What each gate looks at, worked out by hand, and against a mechanic's model by brute force."""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.gates.by_phase import GATES, lines_for
from app.core.gates.gates import Gate
from app.core.items.journal import Line
from app.core.phases.routes import Route
from app.core.phases.units import usual_units
from tests.core.phases.played import Played, known
from tests.core.phases.reference import Known, World

BOTH, JOINT = frozenset({"engine", "vehicle"}), frozenset({"engine", "gearbox"})
ENGINE = frozenset({"engine"})
HOSE = Known("hose", "after", BOTH, "connection")
STRAP = Known("strap", "after", BOTH, "connection", critical=True)
MOUNTS = Known("mounts", "mounts", BOTH)
HOUSING = Known("housing", "mating", JOINT)
STARTER = Known("starter", "mating", JOINT)
CLUTCH = Known("clutch", "clutch", ENGINE)
PLUGS = Known("plugs", "bench", ENGINE)
MANIFOLD = Known("manifold", "bench", ENGINE, "part")
GASKET = Known("gasket", "bench", ENGINE, "part", seals="manifold")
RAG = Known("rag", "temporary", None, "temporary", closes="manifold")
NUTS = Known("nuts", "bench", ENGINE, holds="manifold")
OIL = Known("oil", "fluid", ENGINE, "fluid")
FILTER = Known("filter", "bench", ENGINE, "part", circuit="oil")
LOST = Known("lost", "bench", None)
SWAP = known(HOSE, MOUNTS, HOUSING, CLUTCH)


def off(*names: str) -> list[str]:
    return [f"{name} off" for name in names]


def done(*names: str) -> list[str]:
    return [f"{name} done" for name in names]


OUT = [*off("hose", "mounts", "housing", "clutch"), "hook", "rise", "set_down"]


def play(*moves: str, things: dict[str, Known] = SWAP, route: Route = Route.ENGINE_UP) -> Played:
    return Played(route, things).do(*moves)


def test_mount_nuts_started_and_bellhousing_bolts_started_hold_the_engine() -> None:
    """They read «nothing is open» once: what is on by hand holds."""
    things = known(HOSE, MOUNTS, HOUSING, STARTER)
    moves = [*off("hose", "mounts", "housing", "starter"), "hook"]
    assert play(*moves, things=things).look("lift").is_clear

    again = play(*moves, "mounts started", "housing started", "starter started", things=things)
    assert again.open_at("lift") == ["mounts", "housing", "starter"]
    assert not again.look("lift").is_clear


def test_a_ground_strap_unused_and_a_fuel_line_left_out_keep_the_start_shut() -> None:
    things = known(STRAP, Known("fuel", "after", BOTH, "connection", critical=True))
    played = play("strap unused", "fuel off", "fuel left_out", things=things, route=Route.NONE)
    look = played.look("start")

    assert [(each.item, each.what) for each in look.departures] == [("strap", "unused"), ("fuel", "left_out")]
    assert all(each.missing == ("owner", "reason", "second-person") for each in look.departures)
    assert not look.is_clear


def test_a_manifold_on_without_its_gasket_over_a_rag_is_never_green() -> None:
    things = known(MANIFOLD, GASKET, RAG)
    moves = [*off("manifold", "gasket", "rag"), *done("manifold", "gasket", "rag")]
    played = play(*moves, things=things, route=Route.NONE)

    assert not [each for each in played.standing if each.reasons]  # the ledger alone says zero
    assert {each.code for each in played.open_findings} == {"sealed-after", "out-after-closed"}
    assert played.open_at("start") == ["manifold"]


def test_bolts_tight_before_their_part_are_never_green() -> None:
    things, both = known(MANIFOLD, NUTS), off("manifold", "nuts")

    assert play(*both, *done("nuts", "manifold"), things=things, route=Route.NONE).open_at("start") == [
        "nuts"
    ]
    assert play(*both, *done("manifold", "nuts"), things=things, route=Route.NONE).open_at("start") == []


def test_the_mating_gate_does_not_ask_for_the_bolts_that_go_on_after_mating() -> None:
    played = play(*OUT, "clutch done", "lift_in")

    assert played.look("mating").is_clear
    assert played.open_at("landing") == ["mounts", "housing"]
    assert play(*OUT, "lift_in").open_at("mating") == ["clutch"]


def test_at_hook_up_only_what_carries_may_still_hold() -> None:
    assert play(*off("hose")).look("hook_up").is_clear
    assert play().open_at("hook_up") == ["hose"]
    assert play(*off("hose"), "hook").open_at("lift") == ["mounts", "housing"]


def test_the_weight_is_handed_back_on_mounts_that_are_started() -> None:
    played = play(*OUT, "clutch done", "lift_in", "mate", "housing done")

    assert played.open_at("landing") == ["mounts"]
    assert played.do("mounts started").look("landing").is_clear


def test_an_engine_that_rises_again_keeps_what_was_not_marked_off_again() -> None:
    there = [
        *OUT,
        *done("clutch"),
        "lift_in",
        "mate",
        *done("housing", "mounts"),
        "land",
        *done("hose"),
        "hook",
    ]
    played = play(*there)

    assert played.open_at("lift") == ["hose", "mounts", "housing"]
    risen = played.do("rise")
    assert risen.phases.states["new"].round == 2
    assert {(each.code, each.item) for each in risen.open_findings} == {
        ("joined-while-out", "hose"), ("joined-while-out", "mounts"), ("joined-while-out", "housing"),
    }  # fmt: skip


def test_out_together_they_mate_before_they_go_in() -> None:
    moves = [*off("hose", "mounts", "housing", "clutch"), "hook", "rise", "set_down", "clutch done"]
    played = play(*moves, route=Route.TOGETHER_UP)

    assert played.look("mating").is_clear
    assert played.look("lift_in").missing == ("mating",)
    assert played.do("mate").open_at("lift_in") == ["housing"]
    assert played.do("housing done").look("lift_in").is_clear


def test_down_on_the_subframe_its_bolts_to_the_engine_come_before_the_lift_in() -> None:
    cradle = Known("cradle", "cart", frozenset({"engine", "subframe"}), "connection")
    played = play(
        "cradle off", "hook", "rise", "set_down", "mate", things=known(cradle), route=Route.SUBFRAME_DOWN
    )

    assert played.look("lift").is_clear is False or played.open_at("lift") == []
    assert played.open_at("lift_in") == ["cradle"]
    assert played.do("cradle done").look("lift_in").is_clear


def test_already_out_asks_for_no_gate_and_what_nobody_recorded_is_not_called_joined() -> None:
    played = play("already_out")

    assert played.phases.untrue == ()
    assert played.open_findings == ()


def test_no_lift_at_all_has_no_lines_before_a_lift() -> None:
    lamp = Known("lamp", "vehicle", frozenset({"vehicle"}), "part")
    played = play("lamp off", things=known(lamp, HOSE), route=Route.NONE)

    assert played.open_at("hook_up") == played.open_at("lift") == []
    assert played.open_at("start") == ["lamp"]
    assert played.do("lamp done").look("start").is_clear


def test_bench_work_first_is_no_fault_and_changes_no_gate() -> None:
    early = play("clutch off", "clutch done", *off("hose", "mounts", "housing"), "hook")

    assert early.look("lift").is_clear
    assert early.open_findings == ()


def test_marks_made_twice_change_nothing() -> None:
    twice = [move for move in [*OUT, "clutch done", "lift_in"] for _ in range(2)]
    assert play(*twice).look("mating").is_clear
    assert play(*twice).phases.untrue == ()


def test_a_late_milestone_leaves_what_it_says_open_until_it_comes() -> None:
    played = play(*OUT, *done("clutch", "hose"))
    assert ("joined-while-out", "hose") in {(each.code, each.item) for each in played.open_findings}
    assert played.do("lift_in", "mate").open_findings == ()


def test_what_nobody_said_keeps_the_gates_red() -> None:
    played = play(*OUT, "lost off", *done("clutch"), "lift_in", things={**SWAP, **known(LOST)})

    assert played.open_at("mating") == ["lost"]
    assert played.open_at("landing") == ["mounts", "housing", "lost"]


def test_a_drained_oil_keeps_the_start_shut_and_one_filled_before_its_filter_too() -> None:
    things = known(OIL, FILTER)
    assert play("oil off", things=things, route=Route.NONE).open_at("start") == ["oil"]
    early = play(*off("oil", "filter"), *done("oil", "filter"), things=things, route=Route.NONE)
    assert early.open_at("start") == ["oil"]


ACTS = ("off", "started", "done")
SMALL = {
    "engine up": (Route.ENGINE_UP, known(HOSE, MOUNTS), ("hook", "rise", "lift_in")),
    "housing": (Route.ENGINE_UP, known(HOUSING, CLUTCH), ("rise", "lift_in", "mate")),
    "together": (Route.TOGETHER_UP, known(HOUSING, HOSE), ("rise", "lift_in", "mate")),
    "manifold": (Route.NONE, known(MANIFOLD, GASKET, RAG), ()),
    "nuts": (Route.NONE, known(MANIFOLD, NUTS), ("start",)),
    "oil": (Route.NONE, known(OIL, FILTER), ("start",)),
    "not said": (Route.ENGINE_UP, known(LOST, MOUNTS), ("hook", "rise")),
}
CHECKED = ("hook_up", "lift", "mating", "lift_in", "landing", "start")
assert set(CHECKED) <= set(GATES)


def compare(route: Route, things: dict[str, Known], path: tuple[str, ...]) -> None:
    """Never green while the mechanic says no; the same both ways while all milestones make sense."""
    world, played = World(route.value, things), Played(route, things)
    for move in path:
        world.do(move)
        played.do(move)
    makes_sense = not played.phases.untrue
    for gate in CHECKED:
        if route is Route.NONE and gate != "start":
            continue
        green, may = played.look(gate).is_clear, world.may(gate)
        assert not green or may, (gate, path, played.open_at(gate))
        if makes_sense:
            assert green == may, (gate, path, played.look(gate))


@pytest.mark.parametrize("name", SMALL)
def test_no_path_of_marks_makes_a_gate_green_while_the_mechanic_says_no(name: str) -> None:
    route, things, milestones = SMALL[name]
    moves = [f"{thing} {act}" for thing in things for act in ACTS] + list(milestones)
    for path in product(moves, repeat=3):
        compare(route, things, path)


@given(st.data())
@settings(max_examples=120)
def test_long_paths_of_marks_agree_with_the_mechanic_too(data: st.DataObject) -> None:
    route, things, milestones = SMALL[data.draw(st.sampled_from(sorted(SMALL)))]
    moves = [f"{thing} {act}" for thing in things for act in ACTS] + list(milestones) * 2
    compare(route, things, tuple(data.draw(st.lists(st.sampled_from(moves), max_size=14))))


def test_an_engine_that_comes_back_goes_through_the_same_gates() -> None:
    played = Played(Route.ENGINE_UP, SWAP, usual_units())
    played.do(*off("hose", "mounts", "housing"), "hook")
    assert played.look("lift").is_clear

    played.do("rise", "set_down", *off("clutch"))
    assert played.open_at("lift_in") == ["clutch"]
    played.do(*done("clutch"), "lift_in")
    assert played.look("mating").is_clear
    played.do("mate", *done("housing", "mounts"))
    assert played.look("landing").is_clear
    played.do("land")
    assert played.open_at("start") == ["hose"]
    assert played.do(*done("hose")).look("start").is_clear
    assert played.open_findings == ()


def test_a_trial_fit_closes_nothing() -> None:
    played = play(*OUT, "clutch done", "trial")

    assert played.look("mating").missing == ("lift_in",)
    assert played.phases.states["new"].trial


def test_before_it_rises_the_weight_is_on_the_hook() -> None:
    played = play(*off("hose", "mounts", "housing"))

    assert played.look("lift").missing == ("hook_up",)
    assert played.do("hook").look("lift").missing == ()
    assert play(*OUT).look("lift").missing == ()


def test_while_people_say_different_things_of_a_milestone_its_gates_stay_red() -> None:
    played = play(*off("hose", "mounts", "housing"), "hook")
    others = Line("z", "build:1", "set_down", {"units": ["old"]}, frozenset(), "Ben")
    played.told.append(others)

    assert [each.about for each in played.look("lift").disputes] == [("hook", "old")]
    assert not played.look("lift").is_clear


def test_a_milestone_that_cannot_have_been_keeps_the_gates_red() -> None:
    played = play(*OUT, "clutch done", "lift_in", "mate", "mate", "land", "land")
    assert played.phases.untrue == ()
    wrong = play("lift_in", "mate", "clutch off", "clutch done")

    assert not wrong.look("mating").is_clear
    assert not wrong.open_at("mating")


def test_an_engine_that_is_in_again_is_hooked_up_before_it_rises_again() -> None:
    played = play(*OUT, "lift_in", "mate")
    assert played.look("lift").missing == ()
    assert played.do("land").look("lift").missing == ("hook_up",)


CRITICAL_MOUNTS = Known("mounts", "mounts", BOTH, critical=True)
FIRST_ROUND = [*off("mounts"), "hook", "rise", "set_down", "lift_in", "mate", "mounts done", "mounts looked"]
AGAIN = ["land", "hook", "rise", "set_down", "lift_in", "mate", "land"]


def test_what_was_looked_at_before_the_engine_rose_again_is_looked_at_again_before_the_start() -> None:
    played = play(*FIRST_ROUND, *AGAIN[:1], things=known(CRITICAL_MOUNTS))
    assert played.open_at("start") == []
    assert played.do(*AGAIN[1:-1]).open_at("landing") == []  # the weight waits for no second look

    assert played.do("land").open_at("start") == ["mounts"]
    assert [(each.code, each.verdict) for each in played.open_findings] == [
        ("looked-before-it-rose", "impossible")
    ]
    assert played.do("mounts looked").open_at("start") == []


def test_a_second_look_at_what_ties_no_engine_to_the_vehicle_outlives_its_rise() -> None:
    things = known(CRITICAL_MOUNTS, Known("nuts", "bench", ENGINE, critical=True))
    moves = [*off("nuts"), *done("nuts"), "nuts looked", *FIRST_ROUND, *AGAIN]
    assert play(*moves, things=things).open_at("start") == ["mounts"]


def test_a_trial_fit_is_hooked_up_and_asked_about_anew_before_it_rises() -> None:
    played = play(*OUT, "trial", "land")
    assert played.phases.is_in_again
    assert "hook_up" in played.look("lift").missing
    assert played.do("hook").look("lift").missing == ()
    assert played.do("rise").phases.round == 2


def test_what_is_tightened_later_in_the_vehicle_is_only_in_position_before_the_lift_in() -> None:
    things = known(NUTS, MANIFOLD)
    played = play(*off("nuts", "manifold"), "hook", "rise", "set_down", "manifold done", things=things)
    deferred = replace(played.facts(), deferred=frozenset({"nuts"}))
    gate = Gate("lift_in", "", "")

    assert [each.why for each in lines_for(gate, deferred).lines] == ["not-placed"]
    played.do("nuts started")
    assert [each.why for each in lines_for(gate, played.facts()).lines] == ["open"]
    assert lines_for(gate, replace(played.facts(), deferred=frozenset({"nuts"}))).lines == ()


def test_what_mating_hides_is_finished_before_it_whatever_is_stated_of_a_later_step() -> None:
    played = play(*OUT, "clutch started")
    deferred = replace(played.facts(), deferred=frozenset({"clutch"}))
    assert [each.why for each in lines_for(Gate("mating", "", ""), deferred).lines] == ["open"]
    assert [each.line.item.id for each in lines_for(Gate("lift_in", "", ""), deferred).lines] == ["clutch"]
