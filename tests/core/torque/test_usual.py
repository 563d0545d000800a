"""What is usual for a bolt, and what an aluminium thread bears."""

import pytest

from app.core.threads.preload import NUT_FACTORS, Friction
from app.core.torque.usual import aluminium_clamp_n, middle_nut_factor


def test_the_bound_of_an_aluminium_thread_lies_near_a_measured_one() -> None:
    """M7x1, 9.3 mm in aluminium of 140 MPa, stripped at 17 to 18 N·m.

    Source: https://www.eng-tips.com/viewthread.cfm?qid=509910.
    """
    clamp = aluminium_clamp_n(7, 9.3 / 7)
    assert 0.2 * clamp * 7 / 1000 == pytest.approx(17.5, rel=0.2)


def test_an_aluminium_thread_bears_in_proportion_to_its_depth_and_to_the_square_of_its_diameter() -> None:
    assert aluminium_clamp_n(8, 3.0) == pytest.approx(2 * aluminium_clamp_n(8, 1.5))
    assert aluminium_clamp_n(12, 1.5) == pytest.approx(4 * aluminium_clamp_n(6, 1.5))


@pytest.mark.parametrize("friction", [each for each in Friction if each is not Friction.UNKNOWN])
def test_the_middle_nut_factor_lies_as_many_times_above_the_lower_end_as_below_the_upper(
    friction: Friction,
) -> None:
    factor, middle = NUT_FACTORS[friction], middle_nut_factor(friction)
    assert middle / factor.low == pytest.approx(factor.high / middle)


def test_an_unknown_friction_takes_that_of_plain_steel_inside_its_wider_band() -> None:
    """K = 0.20 for plain steel as it comes: https://engitoolbox.org/calculators/bolt-torque."""
    factor = NUT_FACTORS[Friction.UNKNOWN]
    assert factor.low < middle_nut_factor(Friction.UNKNOWN) == 0.20 < factor.high
