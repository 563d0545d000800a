import re
from html import unescape
from typing import Any

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine
from werkzeug.test import TestResponse

from tests.web.conftest import Garage

PAGE = "/b/1/wrenches"


SMALL = {
    "name": "Small click",
    "low": "5",
    "high": "25",
    "unit": "N·m",
    "graduation": "0.5",
    "type": "click",
    "lever_mm": "250",
    "checked_on": "2031-01-02",
}


CROW_FOOT = {"adapter_name": "Crow-foot", "length_mm": "50", "angle_deg": "0"}


def add(garage: Garage, role: str = "owner", **over: str) -> TestResponse:
    answer: TestResponse = getattr(garage, role).post(PAGE, **{**SMALL, **over})
    return answer


def add_adapter(garage: Garage, **over: str) -> str:
    answer = garage.owner.post(f"{PAGE}/adapter", **{**CROW_FOOT, **over})
    assert answer.status_code == 302, answer.text
    return str(garage.one("SELECT id FROM adapter WHERE name = ?", {**CROW_FOOT, **over}["adapter_name"]))


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


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
    assert "10 N·m Small click: set 10.0 N·m" in page
    assert "20 N·m Small click: set 20.0 N·m" in page
    assert "+ 90° No angle gauge is in the drawer" in page


def test_a_turning_torque_is_felt_and_asks_for_no_setting(garage: Garage) -> None:
    add(garage)
    assert ": set" not in card(garage, "turning torque 10 N·m")
    assert ": set" in card(garage, "10 N·m")


def test_a_card_says_rounding_habit_and_overdue_check(garage: Garage) -> None:
    add(garage, low="2", high="110", graduation="4", checked_on="2029-01-01")
    page = card(garage, "17 N·m")
    assert "set 18 N·m" in page
    assert "The nearest mark gives 5.9 % more." in page
    assert "Below 20 % of full scale; many workshops take a smaller wrench (a habit, not a rule)." in page
    assert "Last checked on 2029-01-01" in page


def test_the_others_that_hold_it_stand_behind(garage: Garage) -> None:
    add(garage)
    add(garage, name="Beam", high="100", graduation="1", type="beam")
    assert "Or Beam: 16 N·m." in card(garage)


def test_a_card_says_that_none_fits(garage: Garage) -> None:
    add(garage)
    assert "holds 90 N·m. Borrow one" in card(garage, "90 N·m")


def test_without_wrenches_a_card_only_asks_for_them(garage: Garage) -> None:
    add_adapter(garage)
    page = card(garage)
    assert "Which wrenches have you?" in page
    assert "Adapter on the wrench" not in page
    assert "Which wrenches" not in card(garage, "")


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
