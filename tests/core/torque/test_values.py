"""Columns of one value, and the torque that is tightened to."""

from decimal import Decimal

import pytest

from app.core.torque.bands import Band
from app.core.torque.text import show_torque
from app.core.torque.units import TorqueUnit
from app.core.torque.values import Torque
from tests.core.torque.printed import read


def test_columns_that_agree_within_three_percent_are_kept_as_columns() -> None:
    spec = read("36 N·m (27 lb·ft, 370 kgf·cm)")
    assert [show_torque(other) for other in spec.others] == ["27 lb·ft", "370 kgf·cm"]
    assert not spec.disagreements


def test_columns_beyond_three_percent_disagree_and_rounding_is_told() -> None:
    (coarse,) = read("10-15 lb-ft (14-20 Nm)").disagreements
    (wrong,) = read("20 ft-lbs (25 Nm)").disagreements
    assert (coarse.rounded, wrong.rounded) == (True, False)
    assert wrong.percent == pytest.approx(7.8, abs=0.05)


def test_the_final_torque_is_the_last_one_tightened_to() -> None:
    final = read("20 N·m + 40 N·m + 90°").final
    assert final
    assert final.torque == Torque(Band(Decimal(40), Decimal(40)), TorqueUnit.NEWTON_METRE)
