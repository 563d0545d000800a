import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.torque.bands import Band
from app.core.torque.text import (
    Limit,
    Quantity,
    Torque,
    TorqueSpec,
    TorqueUnit,
    parse_torque,
)
from app.core.torque.wrench_classes import CLASSES
from app.core.torque.wrenches import (
    HABIT_SHARE,
    Adapter,
    Setting,
    Wrench,
    WrenchType,
    habit_floor,
    iso6789_deviation_nm,
    iso6789_share,
    setting_for,
    setting_text,
    settings_for,
    wrench_problems,
)
from tests.core.check_files import Case, assert_close, cases_of, quantity, unit_factor

TODAY = date(2031, 5, 4)
CLICK = Wrench(
    "long click",
    Decimal(40),
    Decimal(200),
    TorqueUnit.NEWTON_METRE,
    Decimal(1),
    lever_mm=400,
    checked_on=date(2031, 1, 10),
)
SMALL = replace(
    CLICK, name="small click", low=Decimal(5), high=Decimal(60), graduation=Decimal("0.5"), lever_mm=0
)
INCH = Wrench(
    "inch dial",
    Decimal(20),
    Decimal(250),
    TorqueUnit.POUND_INCH,
    Decimal(5),
    WrenchType.DIAL,
    checked_on=date(2031, 1, 10),
)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "wrench_accuracy")


def test_a_published_rule_on_accuracy_is_met(case: Case) -> None:
    inputs, unit = case["inputs"], unit_factor(case["unit"].removesuffix("+/-")) / 1000
    values = dict(quantity(key, value) for key, value in inputs.items() if key != "class_")
    if "T" in values:
        assert values.keys() == {"T"}
        assert_close(case, iso6789_deviation_nm(values["T"] / 1000) / unit)
    else:
        assert values == {"max": values["max"], "lowest_fraction": HABIT_SHARE}
        assert_close(case, habit_floor(values["max"] / 1000) / unit)


def torque(text: str) -> Torque:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec)
    assert spec.final
    assert spec.final.torque
    return spec.final.torque


def setting(text: str, wrench: Wrench = CLICK, adapter: Adapter | None = None) -> Setting:
    found = setting_for(torque(text), wrench, adapter, TODAY)
    assert isinstance(found, Setting), found
    return found


def problem(text: str, wrench: Wrench = CLICK, adapter: Adapter | None = None) -> Problem:
    found = setting_for(torque(text), wrench, adapter, TODAY)
    assert isinstance(found, Problem), found
    return found


def test_the_band_is_six_percent_up_to_and_at_ten_newton_metres() -> None:
    assert iso6789_deviation_nm(10) == pytest.approx(0.6)
    assert iso6789_deviation_nm(10.01) == pytest.approx(0.4004)


def test_a_setting_is_rounded_to_the_graduation_and_the_error_is_told() -> None:
    found = setting("9 N·m", INCH)
    assert float(found.exact.value) == pytest.approx(79.66, abs=0.01)
    assert found.shown == Quantity(Decimal(80), TorqueUnit.POUND_INCH)
    assert found.error_percent == pytest.approx(0.43, abs=0.01)


def test_marks_are_counted_from_the_lowest_marked_value() -> None:
    assert setting("12 N·m", replace(INCH, low=Decimal(22))).shown.value == 107


def test_an_adapter_in_line_lowers_the_setting_but_not_the_torque_at_the_bolt() -> None:
    found = setting("100 N·m", CLICK, Adapter("crow foot", 75))
    assert found.shown.value == 84
    assert found.reached_nm[0] < 100 < found.reached_nm[1]


def test_a_square_adapter_changes_nothing_and_a_backward_one_raises_the_setting() -> None:
    assert setting("100 N·m", CLICK, Adapter("square", 75, 90)).shown.value == 100
    assert setting("100 N·m", CLICK, Adapter("backward", 75, 180)).shown.value == 123


def test_a_wrench_holds_values_from_its_lowest_mark_to_full_scale() -> None:
    assert setting("40 N·m").shown.value == 40
    assert setting("200 N·m").shown.value == 200
    assert {problem(text).code for text in ("39.9 N·m", "200.1 N·m")} == {"wrench-out-of-range"}


def test_below_a_fifth_of_full_scale_the_habit_is_told_as_a_habit() -> None:
    (remark,) = setting("11 N·m", SMALL).remarks
    assert "20 %" in remark
    assert "habit" in remark
    assert setting("12 N·m", SMALL).remarks == ()


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


COARSE = replace(CLICK, low=Decimal(20), high=Decimal(200), graduation=Decimal(10))


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
    ("sort", "below", "above"),
    [(WrenchType.CLICK, 6, 4), (WrenchType.BEAM, 6, 6), (WrenchType.DIAL, 6, 4), (WrenchType.DIGITAL, 6, 4)],
)
def test_each_sort_has_its_own_class_of_iso_6789(sort: WrenchType, below: int, above: int) -> None:
    assert 100 * iso6789_share(8, sort) == pytest.approx(below)
    assert 100 * iso6789_share(50, sort) == pytest.approx(above)
    assert CLASSES[sort].source


def test_an_angle_gauge_has_no_class() -> None:
    with pytest.raises(ValueError, match="angle"):
        iso6789_share(50, WrenchType.ANGLE)


@pytest.mark.parametrize(
    ("text", "limit", "low", "high"),
    [("60 N·m", Limit.LEAST, 60, 90), ("60 N·m", Limit.MOST, 30, 60)],
)
def test_a_limit_is_set_on_its_side_of_the_figure(text: str, limit: Limit, low: float, high: float) -> None:
    found = setting_for(torque(text), CLICK, None, TODAY, limit)
    assert isinstance(found, Setting)
    assert low <= found.reached_nm[0] < found.reached_nm[1] <= high


def test_a_setting_says_its_error_and_the_tools_tolerance() -> None:
    assert setting_text(setting("62 N·m", COARSE)) == "60 N·m (-3.2 %, tool ±4 %)"
    assert setting_text(setting("60 N·m", COARSE)) == "60 N·m (exact, tool ±4 %)"


def test_what_to_borrow_is_said_with_range_and_graduation() -> None:
    found = settings_for(torque("300 N·m"), [CLICK], TODAY)
    assert isinstance(found, Problem)
    assert "about 100 to 1000 N·m, in steps of 5 N·m or finer" in found.message


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


@given(st.integers(1, 1500))
def test_what_is_to_borrow_holds_the_value(value: int) -> None:
    printed = Torque(Band(Decimal(value), Decimal(value)), TorqueUnit.NEWTON_METRE)
    found = settings_for(printed, [], TODAY)
    assert isinstance(found, Problem)
    low, high = (float(number) for number in re.findall(r"about ([\d.]+) to ([\d.]+)", found.message)[0])
    assert low <= value < high


def test_a_wrench_unchecked_for_a_year_is_overdue() -> None:
    assert setting("50 N·m", replace(CLICK, checked_on=date(2030, 5, 4))).remarks == ()
    assert "2030-05-03" in setting("50 N·m", replace(CLICK, checked_on=date(2030, 5, 3))).remarks[0]
    assert "never" in setting("50 N·m", replace(CLICK, checked_on=None)).remarks[0]


def test_the_best_wrench_comes_first_and_those_that_do_not_fit_are_left_out() -> None:
    found = settings_for(torque("30 N·m"), [INCH, CLICK, SMALL], TODAY)
    assert isinstance(found, tuple)
    assert [one.wrench.name for one in found] == ["small click"]
    both = settings_for(torque("45.5 N·m"), [CLICK, SMALL], TODAY)
    assert isinstance(both, tuple)
    assert [one.wrench.name for one in both] == ["small click", "long click"]


@pytest.mark.parametrize("wrenches", [[], [INCH, SMALL]])
def test_when_no_wrench_fits_it_says_so(wrenches: list[Wrench]) -> None:
    found = settings_for(torque("300 N·m"), wrenches, TODAY)
    assert isinstance(found, Problem)
    assert (found.code, found.where) == ("no-wrench", "wrench")
    assert "300 N·m" in found.message


@pytest.mark.parametrize(
    ("field", "value", "where"),
    [
        ("low", Decimal(0), "low"),
        ("low", Decimal("nan"), "low"),
        ("low", Decimal(-3), "low"),
        ("high", Decimal("inf"), "high"),
        ("high", Decimal(30), "low"),
        ("graduation", Decimal(0), "graduation"),
        ("graduation", Decimal(1000), "graduation"),
        ("lever_mm", float("nan"), "lever_mm"),
        ("lever_mm", -1.0, "lever_mm"),
    ],
)
def test_what_is_wrong_about_a_wrench_names_the_field(field: str, value: object, where: str) -> None:
    wrench = replace(CLICK, **{field: value})  # type: ignore[arg-type]  # the wrong value is the point
    assert [found.where for found in wrench_problems(wrench)] == [where]
    assert problem("50 N·m", wrench).where == where


def test_a_sound_wrench_has_no_problem() -> None:
    assert wrench_problems(CLICK) == ()


@pytest.mark.parametrize(
    ("wrench", "adapter", "where"),
    [
        (SMALL, Adapter("crow foot", 75), "lever_mm"),
        (CLICK, Adapter("very long", 500, 180), "adapter"),
        (replace(CLICK, type=WrenchType.ANGLE), None, "wrench"),
    ],
)
def test_what_gives_no_setting_names_the_field(wrench: Wrench, adapter: Adapter | None, where: str) -> None:
    assert problem("50 N·m", wrench, adapter).where == where


@given(st.integers(40, 200), st.floats(-300, 300))
@settings(max_examples=60)
def test_setting_and_adapter_give_the_wanted_torque_back(wanted: int, length: float) -> None:
    found = setting_for(torque(f"{wanted} N·m"), CLICK, Adapter("any", length), TODAY)
    if isinstance(found, Setting):
        back = float(found.exact.value) * (400 + length) / 400
        assert back == pytest.approx(wanted, rel=1e-9)
    else:
        assert found.code == "wrench-out-of-range"
