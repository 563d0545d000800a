"""Whole engine swaps by a crew of three, each acting as the pages and the order lead, to ledger zero."""

import pytest

from tests.story.builds import FEW, SHORT, SWAP
from tests.story.conftest import GetCrew
from tests.story.crew import Crew
from tests.story.mechanic import Thing

ALL_GATES = {"hook_up", "lift", "mating", "lift_in", "landing", "start", "move"}


def take_out(crew: Crew) -> None:
    """Take all off, hook on, lift the engine out and set it down; each gate is passed on its way."""
    mechanic = crew.mechanic
    last = {"mounts", "mating"} if mechanic.meets_in_vehicle else {"mounts"}
    beside = {"hidden", "bench", "mating"} - last
    when = {key: mechanic.when(key) for key in mechanic.things}
    crew.take_off(*(key for key in when if when[key] not in last | beside))
    assert crew.happen() == "hook_up"
    crew.take_off(*(key for key in when if when[key] in last))
    assert (crew.happen(), crew.happen()) == ("rise", "set_down")
    crew.take_off(*(key for key in when if when[key] in beside & {"mating"}))
    if not (mechanic.another or mechanic.meets_in_vehicle):
        crew.tell(crew.helper, "parting")
    crew.take_off(*(key for key in when if when[key] in beside - {"mating"}))


@pytest.mark.parametrize(
    ("route", "lead", "things"),
    [("engine_up", "order", SWAP), ("together_up", "now", SHORT)],
)
def test_another_engine_goes_in_as_the_pages_lead_and_all_gates_are_green_on_the_way(
    crew: GetCrew, route: str, lead: str, things: dict[str, Thing]
) -> None:
    three = crew(route, things)
    take_out(three)
    three.buy()
    three.put_back(lead)

    three.assert_zero()
    assert three.green == ALL_GATES


@pytest.mark.parametrize(
    ("layout_key", "route", "lead"),
    [("transverse_v", "together_up", "order"), ("flat_front", "engine_up", "now")],
)
def test_all_starter_steps_of_a_layout_lead_through_every_gate(
    crew: GetCrew, layout_key: str, route: str, lead: str
) -> None:
    three = crew(route, SHORT, layout_key=layout_key)
    take_out(three)
    three.buy()
    three.put_back(lead)

    three.assert_zero()
    assert three.green == ALL_GATES


def test_an_engine_that_was_out_already_needs_no_gate_to_leave_and_what_tied_it_is_asked(
    crew: GetCrew,
) -> None:
    """Of the hose nobody writes down anything, until the check before the start names it."""
    three = crew("engine_up", FEW)
    three.tell(three.owner, "set_down", before_record=True)
    three.take_off(*(key for key in FEW if key != "hose"))
    three.put_back("now")

    three.assert_zero()
    assert three.green == ALL_GATES - {"hook_up", "lift"}
    assert three.mechanic.level("hose") == "done"


def test_the_engine_that_went_out_comes_back_with_its_gearbox(crew: GetCrew) -> None:
    three = crew("together_up", FEW, another=False)
    take_out(three)
    three.turn("engine")
    three.put_back("order")

    three.assert_zero()
    assert three.green == ALL_GATES


def test_where_no_engine_leaves_only_start_and_drive_have_a_gate(crew: GetCrew) -> None:
    three = crew("none", SHORT)
    three.take_off(*SHORT)
    three.turn()
    three.buy()
    three.put_back("order")

    three.assert_zero()
    assert three.green == {"start", "move"}


def test_an_engine_that_rises_again_goes_through_all_gates_again(crew: GetCrew) -> None:
    three = crew("engine_up", {key: FEW[key] for key in ("strap", "housing", "mounts")})
    take_out(three)
    three.put_back("order", until="landed")
    assert not {"hook_up", "lift"} & three.green_now()

    three.pass_gate("hook_up")
    three.tell(three.helper, "hook_up")
    for key in ("mounts", "housing"):
        three.otherwise(key, "off")
    three.pass_gate("lift")
    three.tell(three.helper, "rise")
    assert three.green_now() == {"hook_up", "lift"}

    three.green.clear()
    three.tell(three.owner, "set_down")
    three.put_back("now")
    three.assert_zero()
    assert three.green == ALL_GATES
