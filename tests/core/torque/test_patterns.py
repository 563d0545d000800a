"""Numbers of a printed torque that are no torque."""

import pytest

from app.core.torque.text import format_torque
from app.core.torque.values import TorqueSpec
from tests.core.torque.printed import read


@pytest.mark.parametrize(
    "text",
    [
        "M8x1.25 bolts (4) to 25 Nm",
        "Torque all 10 head bolts to 25 Nm in 3 steps",
        "Tighten screw (Figure 6, Item 20) to 25 Nm",
        "25 Nm at 20 °C",
        "stretch 0.019-0.024 in. at 25 Nm",
        "25 Nm every 10,000 km",
        "Tighten nuts 1 through 8 to 25 Nm",
        "Tighten bolts 1, 2, 3 and 4 to 25 Nm",
        "Tighten caps 5 and 9 alternately to 25 Nm",
        "TM 9-2815-220-24: oil SAE 30, wait 10 min, 25 Nm",
    ],
)
def test_numbers_that_are_no_torque_are_passed_over(text: str) -> None:
    assert format_torque(TorqueSpec("", read(text).stages)) == "25 N·m"
