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
    Quantity,
    Torque,
    TorqueUnit,
)
from app.core.torque.wrenches import (
    HABIT_SHARE,
    Adapter,
    Setting,
    Wrench,
    WrenchType,
    habit_floor,
    iso6789_deviation_nm,
    setting_for,
    setting_text,
    settings_for,
    wrench_problems,
)
from tests.core.check_files import Case, assert_close, cases_of, quantity, unit_factor
from tests.core.torque.drawer import CLICK, COARSE, INCH, SMALL, TODAY, problem, setting, torque


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


def test_a_setting_is_rounded_to_the_graduation_and_the_error_is_told() -> None:
    found = setting("9 N·m", INCH)
    assert float(found.exact.value) == pytest.approx(79.66, abs=0.01)
    assert found.shown == Quantity(Decimal(80), TorqueUnit.POUND_INCH)
    assert found.error_percent == pytest.approx(0.43, abs=0.01)


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


def test_a_setting_says_its_error_and_the_tools_tolerance() -> None:
    assert setting_text(setting("62 N·m", COARSE)) == "60 N·m (-3.2 %, tool ±4 %)"
    assert setting_text(setting("60 N·m", COARSE)) == "60 N·m (exact, tool ±4 %)"


def test_what_to_borrow_is_said_with_range_and_graduation() -> None:
    found = settings_for(torque("300 N·m"), [CLICK], TODAY)
    assert isinstance(found, Problem)
    assert "about 100 to 1000 N·m, in steps of 5 N·m or finer" in found.message


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
