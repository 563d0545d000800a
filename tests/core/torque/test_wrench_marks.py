"""Which mark of a scale serves a printed torque."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.torque.units import TorqueUnit
from app.core.torque.values import Limit
from app.core.torque.wrench_classes import WrenchType
from app.core.torque.wrench_marks import Scale, aim_of, mark_for
from app.core.torque.wrenches import Setting, setting_for
from tests.core.torque.drawer import CLICK, COARSE, INCH, TODAY, problem, setting, torque


def test_marks_are_counted_from_the_lowest_marked_value() -> None:
    assert setting("12 N·m", replace(INCH, low=Decimal(22))).shown.value == 107


def test_a_range_gets_a_mark_that_stays_inside_it_with_the_tools_tolerance() -> None:
    for text in ("45-50 N·m", "90-100 N·m", "60 +8/-0 N·m", "140-160 N·m"):
        low, high = torque(text).low_nm, torque(text).high_nm
        found = setting(text)
        assert low <= found.reached_nm[0] < found.reached_nm[1] <= high * 1.000001, text
        assert not any("narrower" in remark for remark in found.remarks)


def test_a_range_narrower_than_the_tool_is_true_is_said_and_its_mark_is_still_inside() -> None:
    found = setting("50-52 N·m")
    assert found.shown.value == 51
    assert any("narrower than the wrench is true" in remark for remark in found.remarks)


@pytest.mark.parametrize(
    ("text", "mark"), [("62 N·m", 60), ("62.5 N·m", 60), ("63 N·m", None), ("65 N·m", None), ("67.4 N·m", 70)]
)
def test_a_single_value_gets_a_mark_within_four_percent_or_none(text: str, mark: int | None) -> None:
    found = setting_for(torque(text), COARSE, None, TODAY)
    if mark is None:
        assert isinstance(found, Problem)
        assert found.code == "no-mark"
        assert "10 N·m apart" in found.message
    else:
        assert isinstance(found, Setting)
        assert found.shown.value == mark


def test_at_ten_newton_metres_and_below_six_percent_are_allowed() -> None:
    small = replace(CLICK, low=Decimal(2), high=Decimal(22), graduation=Decimal(1))
    assert setting("8.5 N·m", small).shown.value == 8
    assert setting("9.5 N·m", small).shown.value in {9, 10}
    assert problem("4.5 N·m", small).code == "no-mark"


def test_a_range_between_two_marks_is_not_offered() -> None:
    assert problem("61-69 N·m", COARSE).code == "no-mark"
    assert setting("8.8-9.2 N·m", INCH).shown.value == 80
    assert problem("8.8-9 N·m", INCH).code == "no-mark"


def test_a_pointer_is_read_between_its_marks_and_that_widens_its_tolerance() -> None:
    beam = replace(COARSE, type=WrenchType.BEAM)
    found = setting("65 N·m", beam)
    assert found.shown.value == 65
    assert found.tolerance_percent == pytest.approx(6 + 100 * 2.5 / 65)
    assert any("between the marks" in remark for remark in found.remarks)


@pytest.mark.parametrize(
    ("text", "limit", "low", "high"),
    [("60 N·m", Limit.LEAST, 60, 90), ("60 N·m", Limit.MOST, 30, 60)],
)
def test_a_limit_is_set_on_its_side_of_the_figure(text: str, limit: Limit, low: float, high: float) -> None:
    found = setting_for(torque(text), CLICK, None, TODAY, limit)
    assert isinstance(found, Setting)
    assert low <= found.reached_nm[0] < found.reached_nm[1] <= high


@given(
    st.integers(42, 190),
    st.integers(0, 30),
    st.sampled_from([WrenchType.CLICK, WrenchType.BEAM, WrenchType.DIAL]),
)
@settings(max_examples=200)
def test_no_setting_misses_its_print(low: int, width: int, sort: WrenchType) -> None:
    text = f"{low}-{low + width} N·m" if width else f"{low} N·m"
    found = setting_for(torque(text), replace(COARSE, type=sort), None, TODAY)
    if isinstance(found, Setting):
        share = 0.0 if width else 0.0400001
        at = float(found.shown.value)
        assert low * (1 - share) <= at <= (low + width) * (1 + share)


def test_one_figure_is_met_within_four_percent_and_a_range_within_its_ends() -> None:
    one, some = aim_of(torque("50 N·m")), aim_of(torque("45-50 N·m"))
    assert one.is_single
    assert (one.low, one.high) == pytest.approx((48, 52))
    assert (some.low, some.target, some.high, some.is_single) == (45, 47.5, 50, False)


def test_a_least_value_is_aimed_at_from_above_and_a_most_value_from_below() -> None:
    least, most = aim_of(torque("60 N·m"), Limit.LEAST), aim_of(torque("60 N·m"), Limit.MOST)
    assert least.low == 60 < least.target < least.high
    assert most.low < most.target < 60 == most.high


def test_what_an_adapter_adds_is_in_the_mark() -> None:
    scale = Scale(Decimal(20), Decimal(200), Decimal(1), TorqueUnit.NEWTON_METRE, WrenchType.CLICK)
    assert mark_for(scale, aim_of(torque("100 N·m"))) == (Decimal(100), True)
    assert mark_for(scale, aim_of(torque("100 N·m")), 0.84) == (Decimal(84), True)
    assert mark_for(scale, aim_of(torque("100 N·m")), 3.0) is None
