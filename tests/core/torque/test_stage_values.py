"""Values of one stage: ranges are joined, columns are kept beside, what is not one value is refused."""

from decimal import Decimal

import pytest

from app.core.torque.bands import Band
from app.core.torque.refusals import UnreadableError
from app.core.torque.stage_values import bounded, range_of, with_column
from app.core.torque.units import TorqueUnit
from app.core.torque.values import Limit, Stage, StageKind, Torque

N, FT = TorqueUnit.NEWTON_METRE, TorqueUnit.POUND_FOOT


def torque(low: int, unit: TorqueUnit = N, high: int | None = None) -> Torque:
    return Torque(Band(Decimal(low), Decimal(low if high is None else high)), unit)


def stage(value: Torque, limit: Limit = Limit.NONE) -> Stage:
    return Stage(StageKind.TORQUE, torque=value, limit=limit)


def test_the_least_and_the_most_are_one_range_and_other_limits_stay_apart() -> None:
    least, most = stage(torque(20), Limit.LEAST), stage(torque(25), Limit.MOST)

    assert bounded([least, most]) == [stage(torque(20, high=25))]
    assert bounded([most, least]) == [most, least]


def test_ends_in_two_units_are_no_range() -> None:
    assert range_of(stage(torque(20)), torque(25, FT)) is None
    assert range_of(stage(torque(20, high=22)), torque(25)) is None


def test_a_column_in_another_unit_is_kept_beside_its_value() -> None:
    assert with_column(stage(torque(25)), torque(18, FT)).others == (torque(18, FT),)


def test_a_value_inside_a_range_behind_it_is_the_nominal_one() -> None:
    found = with_column(stage(torque(22)), torque(20, high=25)).torque

    assert found is not None
    assert [found.band.low, found.band.target, found.band.high] == [20, 22, 25]


@pytest.mark.parametrize(("column", "code"), [(torque(100, FT), "columns-apart"), (torque(26), "two-values")])
def test_what_is_no_second_reading_of_one_value_is_refused(column: Torque, code: str) -> None:
    with pytest.raises(UnreadableError) as refused:
        with_column(stage(torque(25)), column)

    assert refused.value.problem.code == code
