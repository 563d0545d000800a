from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.items.roles import Way
from app.core.items.step_names import LONGEST, proposed_back, step_instruction, step_name


@dataclass(frozen=True)
class Named:
    name: str
    name_back: str = ""
    direction: str = "both"
    instruction: str = ""
    instruction_back: str = ""


@pytest.mark.parametrize(
    ("off", "back"),
    [
        ("Exhaust off", "Exhaust back on"),
        ("Engine plugs and ground straps off", "Engine plugs and ground straps back on"),
        ("Radiator out", "Radiator back in"),
        ("Subframe down", "Subframe back up"),
        ("Fuel line open", "Fuel line closed"),
        ("Disconnect the plugs", "Connect the plugs"),
        ("disconnect fuel line", "connect fuel line"),
        ("Remove the shield", "Refit the shield"),
        ("Take off the hood", "Refit the hood"),
        ("Drain coolant and oil", "Fill coolant and oil"),
        ("Offside lamp", "Offside lamp: put back"),
        ("Removed plates", "Removed plates: put back"),
        ("Starter off and bellhousing bolts out", "Starter off and bellhousing bolts out: put back"),
        ("Disconnect the plugs and remove the pump", "Disconnect the plugs and remove the pump: put back"),
        ("  ", ""),
    ],
)
def test_a_name_for_the_way_back_is_proposed(off: str, back: str) -> None:
    assert proposed_back(off) == back


def test_a_step_for_taking_off_alone_leaves_drains_to_close_and_fills_nothing() -> None:
    assert proposed_back("Drain coolant and oil", is_left=True) == "Close the drains: coolant and oil"
    assert proposed_back("Exhaust off", is_left=True) == "Exhaust back on"


@pytest.mark.parametrize(
    "name",
    [
        "Disconnect the battery, ground first",
        "Disconnect the ground cable first",
        "Disconnect the ground then the positive",
        "Drain after it is cold",
    ],
)
def test_what_says_an_order_is_not_turned_into_the_wrong_one(name: str) -> None:
    assert proposed_back(name) == f"{name}: put back"


@given(st.text(max_size=200))
def test_what_is_proposed_fits_its_field(name: str) -> None:
    assert len(proposed_back(name)) <= LONGEST


def test_each_way_has_its_own_name() -> None:
    step = Named("Exhaust off", "Exhaust on")
    assert (step_name(step, Way.OFF), step_name(step, Way.BACK)) == ("Exhaust off", "Exhaust on")


def test_what_nobody_named_for_the_way_back_has_the_proposed_name() -> None:
    assert step_name(Named("Exhaust off"), Way.BACK) == "Exhaust back on"
    assert step_name(Named("Drain the oil", direction="off_only"), Way.BACK) == "Close the drains: the oil"


def test_a_step_of_the_way_back_alone_has_one_name_both_ways() -> None:
    step = Named("Engine out of gear", direction="on_only", instruction="Try every gear.")
    assert {step_name(step, way) for way in Way} == {"Engine out of gear"}
    assert (step_instruction(step, Way.OFF), step_instruction(step, Way.BACK)) == ("", "Try every gear.")


def test_an_instruction_of_one_way_is_never_shown_on_the_other() -> None:
    step = Named("Battery off", instruction="The negative cable first.")
    assert step_instruction(step, Way.OFF) == "The negative cable first."
    assert step_instruction(step, Way.BACK) == ""
    both = Named("Battery off", instruction="Off.", instruction_back="The negative cable last.")
    assert step_instruction(both, Way.BACK) == "The negative cable last."
