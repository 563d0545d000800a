"""The act of tightening: a click is a setting, a pointer is read, a turn is marked, feel is said so."""

from datetime import date
from decimal import Decimal

import pytest

from app.core.problem import Problem
from app.core.torque.acts import (
    Reached,
    Told,
    button_text,
    by_feel,
    clicked,
    reached_text,
    read_value,
    turned,
    ways_of,
)
from app.core.torque.text import (
    Quantity,
    Stage,
    TorqueSpec,
    TorqueUnit,
    parse_torque,
)
from app.core.torque.wrenches import (
    Setting,
    Wrench,
    WrenchType,
    setting_for,
)

TODAY = date(2031, 5, 4)


def stage(text: str) -> Stage:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec)
    return spec.stages[0]


def setting(sort: WrenchType = WrenchType.CLICK) -> Setting:
    wrench = Wrench(
        "Small", Decimal(20), Decimal(220), TorqueUnit.POUND_INCH, Decimal(5), sort, checked_on=TODAY
    )
    torque = stage("9 N·m").torque
    assert torque
    found = setting_for(torque, wrench, None, TODAY)
    assert isinstance(found, Setting)
    return found


def test_a_click_wrench_stores_its_setting_with_one_tap() -> None:
    assert button_text(setting()) == "Clicked at 80 lb·in"
    stored = clicked(setting())
    assert stored == Reached(Told.CLICKED, Quantity(Decimal(80), TorqueUnit.POUND_INCH))
    assert isinstance(stored, Reached)
    assert reached_text(stored) == "clicked at 80 lb·in"


@pytest.mark.parametrize("sort", [WrenchType.BEAM, WrenchType.DIAL, WrenchType.DIGITAL])
def test_a_wrench_that_shows_a_value_has_no_tap_and_its_value_is_typed(sort: WrenchType) -> None:
    assert button_text(setting(sort)) == ""
    assert isinstance(clicked(setting(sort)), Problem)
    assert ways_of(stage("9 N·m"), setting(sort)) == (Told.READ, Told.FEEL)
    stored, problem = read_value(stage("9 N·m"), Decimal(79), TorqueUnit.POUND_INCH)
    assert (reached_text(stored), problem) == ("79 lb·in", None)


def test_a_value_outside_the_print_is_stored_with_its_problem() -> None:
    stored, problem = read_value(stage("9 N·m"), Decimal(100), TorqueUnit.POUND_INCH)
    assert reached_text(stored) == "100 lb·in"
    assert problem
    assert problem.code == "reached-outside"


def test_a_turn_by_marks_has_the_printed_angle_and_by_gauge_its_own() -> None:
    assert turned(stage("85-95°"), Told.MARKS) == Reached(Told.MARKS, degrees=Decimal(90))
    gauged = turned(stage("90°"), Told.GAUGE, Decimal(92))
    assert isinstance(gauged, Reached)
    assert reached_text(gauged) == "92° by gauge"
    assert isinstance(turned(stage("90°"), Told.GAUGE), Problem)
    assert isinstance(turned(stage("90°"), Told.FEEL, Decimal(90)), Problem)
    assert isinstance(turned(stage("9 N·m"), Told.MARKS), Problem)


def test_by_feel_is_always_a_way_and_is_said_so() -> None:
    assert ways_of(stage("9 N·m"), None) == (Told.FEEL,)
    assert ways_of(stage("90°"), None) == (Told.MARKS, Told.GAUGE, Told.FEEL)
    assert ways_of(stage("9 N·m"), setting())[-1] is Told.FEEL
    assert reached_text(by_feel()) == "by feel"
