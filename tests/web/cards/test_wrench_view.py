"""Which wrench to take and what to set, as a fastener's card and its stages tell it."""

import re
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine

from app.core.items.items import Fastener
from app.core.tightening.stages import stages_of
from app.core.torque.units import TorqueUnit
from app.core.torque.wrenches import Wrench
from app.web.cards.wrench_view import row_setting
from tests.web.conftest import Garage
from tests.web.torque.test_wrenches import PAGE, add, add_adapter, words

TODAY = date(2031, 5, 4)


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be 4 May 2031: the wrenches were checked on 2 January."""
    monkeypatch.setattr("app.web.site.context.now", lambda: datetime(2031, 5, 4, 12, 0, tzinfo=UTC))


def card(garage: Garage, torque: str = "16 N·m", query: str = "") -> str:
    item = garage.item("fastener", name="Cover", torque=torque)
    return words(garage.owner.get(f"/i/{item}{query}"))


def test_a_card_says_which_wrench_to_take_and_what_to_set(garage: Garage) -> None:
    add(garage)
    page = card(garage)
    assert "Small click : set 16.0 N·m" in page
    assert "Within ISO 6789 (±4 %) the bolt gets 15.4 to 16.6 N·m." in page
    assert "nearest mark gives" not in page
    assert "habit" not in page
    assert "checked" not in page.partition("Small click")[2].partition("What happened")[0]


def test_a_card_says_each_stage(garage: Garage) -> None:
    add(garage)
    page = card(garage, "10 N·m then 20 N·m then 90°")
    assert "10 N·m Small click: set 10.0 N·m (exact, tool ±6 %)" in page
    assert "20 N·m Small click: set 20.0 N·m (exact, tool ±4 %)" in page
    assert "+ 90° No angle gauge is in the drawer" in page


def test_a_turning_torque_is_felt_and_asks_for_no_setting(garage: Garage) -> None:
    add(garage)
    assert ": set" not in card(garage, "turning torque 10 N·m")
    assert ": set" in card(garage, "10 N·m")


def test_a_card_says_rounding_habit_and_overdue_check(garage: Garage) -> None:
    add(garage, low="2", high="110", graduation="4", checked_on="2029-01-01")
    page = card(garage, "17.5 N·m")
    assert "set 18 N·m" in page
    assert "The nearest mark gives 2.9 % more." in page
    assert "Below 20 % of full scale; many workshops take a smaller wrench (a habit, not a rule)." in page
    assert "Last checked on 2029-01-01" in page


def test_the_others_that_hold_it_stand_behind(garage: Garage) -> None:
    add(garage)
    add(garage, name="Beam", high="100", graduation="1", type="beam")
    assert "Or Beam: 16 N·m (exact, tool ±7.6 %)." in card(garage)


def test_a_stage_says_what_its_mark_is_off_by(garage: Garage) -> None:
    add(garage, graduation="1")
    assert "12.3 N·m Small click: set 12 N·m (-2.4 %, tool ±4 %)" in card(garage, "12.3 N·m then 20 N·m")


def test_no_mark_further_off_than_the_tool_may_be_is_offered(garage: Garage) -> None:
    add(garage, low="2", high="110", graduation="4")
    page = card(garage, "16 N·m")
    assert ": set" not in page
    assert "No mark of Small click is within 4 %" in page
    assert "its marks are 4 N·m apart" in page


def test_a_pointer_is_told_with_its_own_tolerance_and_its_reading(garage: Garage) -> None:
    """A beam has 6 %, and a quarter of a graduation of 1 N·m at 16 N·m adds 1.6 %."""
    add(garage, name="Beam", high="100", graduation="1", type="beam")
    page = card(garage)
    assert "Within ISO 6789 and the reading of its pointer (±7.6 %) the bolt gets 14.8 to 17.2 N·m." in page


@pytest.mark.parametrize(
    ("printed", "low", "high"), [("min. 16 N·m", 16.0, 24.0), ("max. 16 N·m", 8.0, 16.0)]
)
def test_a_least_and_a_most_value_are_set_on_their_side(
    garage: Garage, printed: str, low: float, high: float
) -> None:
    add(garage)
    found = re.search(r"the bolt gets ([\d.]+) to ([\d.]+) N·m", card(garage, printed))
    assert found
    assert low <= float(found[1]) < float(found[2]) <= high


def test_a_card_says_that_none_fits(garage: Garage) -> None:
    add(garage)
    assert "holds 90 N·m. Borrow one" in card(garage, "90 N·m")


def test_without_wrenches_a_card_only_asks_for_them(garage: Garage) -> None:
    add_adapter(garage)
    page = card(garage)
    assert "Add your torque wrenches" in page
    assert "Adapter on the wrench" not in page
    assert "Add your torque wrenches" not in card(garage, "")


def test_the_setting_follows_the_adapter(garage: Garage) -> None:
    add(garage)
    adapter = add_adapter(garage)
    page = card(garage, "18 N·m", f"?adapter={adapter}")
    assert "Small click with Crow-foot: set 15.0 N·m" in page
    assert "Small click : set 18.0 N·m" in card(garage, "18 N·m")
    assert "not in the drawer any more" in card(garage, "18 N·m", "?adapter=none")


@pytest.mark.parametrize(
    ("lever", "said"), [("", "Measure the lever of Small click"), ("200", "reaches the grip or beyond it")]
)
def test_an_adapter_that_does_not_go_on_a_wrench_says_why(garage: Garage, lever: str, said: str) -> None:
    adapter = add_adapter(garage, length_mm="220", angle_deg="180")
    add(garage, lever_mm=lever)
    page = card(garage, "18 N·m", f"?adapter={adapter}")
    assert said in page
    assert ": set" not in page


def test_wrenches_are_read_once_a_card(garage: Garage) -> None:
    add(garage)
    item = garage.item("fastener", name="Cover", torque="10 N·m then 16 N·m")
    asked: list[str] = []

    def hear(*told: Any) -> None:
        asked.append(told[2])

    event.listen(Engine, "before_cursor_execute", hear)
    try:
        garage.owner.get(f"/i/{item}")
    finally:
        event.remove(Engine, "before_cursor_execute", hear)
    assert sum("FROM wrench" in query for query in asked) == 1
    assert sum("FROM adapter" in query for query in asked) == 1


def test_pound_inches_are_boxed_unlike_pound_feet(garage: Garage) -> None:
    add(garage, low="40", high="240", unit="lb·in", graduation="2")
    assert "Small click : set 142 lb·in INCH pounds" in card(garage)


def test_an_angle_gauge_is_in_degrees_and_holds_no_torque(garage: Garage) -> None:
    add(garage, type="angle", low="1", high="360", graduation="1", lever_mm="")
    assert "1 to 360°, every 1° · angle gauge" in words(garage.owner.get(PAGE))
    assert "holds 16 N·m. Borrow one" in card(garage)


def test_the_form_of_the_next_stage_says_what_to_set_and_what_it_is_off_by() -> None:
    drawer = (Wrench("Long click", Decimal(20), Decimal(200), TorqueUnit.NEWTON_METRE, Decimal(5)),)
    stage, *_ = stages_of(Fastener(torque="86 N·m"))
    assert row_setting(stage, drawer, TODAY) == "Long click: set 85 N·m (-1.2 %, tool ±4 %)"
    most, *_ = stages_of(Fastener(torque="max. 86 N·m"))
    assert row_setting(most, drawer, TODAY) == "Long click: set 75 N·m (-0.3 %, tool ±4 %)"
    assert row_setting(stage, (), TODAY) == ""
    assert row_setting(None, drawer, TODAY) == ""
    beyond, *_ = stages_of(Fastener(torque="300 N·m"))
    assert row_setting(beyond, drawer, TODAY) == "no wrench in the drawer holds it"
