"""The demo, played on to ledger zero by the crew: half of it is off, and some of it on its way back."""

from collections.abc import Callable

import pytest

from tests.story.crew import Crew
from tests.story.mechanic import ENGINE, GEARBOX, ON
from tests.story.test_swaps import ALL_GATES

SAMPLE = 3
"""Of three stages one is held against the mechanic: all of them would take twice as long."""


def take_out(crew: Crew) -> None:
    """Take the old engine out, as the gates lead, and part it from a gearbox that came with it."""
    assert [crew.happen() for _ in range(3)] == ["hook_up", "rise", "set_down"]
    tied = (key for key, thing in crew.mechanic.things.items() if thing.ties == ENGINE | GEARBOX)
    crew.take_off(*(key for key in tied if crew.mechanic.level(key) == ON))


@pytest.mark.parametrize(("route", "lead"), [("engine_up", "order"), ("together_up", "now")])
def test_the_demo_is_played_to_zero_and_the_mechanic_agrees(
    demo: Callable[[str], Crew], route: str, lead: str
) -> None:
    """By its own route, with the gearbox staying; and with both up together, as its owner may still say."""
    three = demo(route)
    three.sample = SAMPLE
    if route != "engine_up":
        three.reroute(route)
    take_out(three)
    three.fetch()
    three.buy()
    three.look_at_plan()
    three.put_back(lead, until="lift_in")
    three.look_at_plan()
    three.put_back(lead)

    three.assert_zero()
    assert three.green == ALL_GATES
