"""Wrenches: kept in the drawer, edited by the crew, and told on a fastener's card."""

import re
from datetime import UTC, datetime
from html import unescape
from typing import Any

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine
from werkzeug.test import TestResponse

from app.core.problem import STALE
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


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be 4 May 2031."""
    monkeypatch.setattr("app.web.site.context.now", lambda: datetime(2031, 5, 4, 12, 0, tzinfo=UTC))


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


@pytest.mark.parametrize("role", ["owner", "helper"])
def test_the_crew_adds_a_wrench_and_the_list_says_all_of_it(garage: Garage, role: str) -> None:
    assert add(garage, role).status_code == 302
    page = words(garage.onlooker.get(PAGE))
    assert "Small click 5 to 25 N·m, every 0.5 N·m · click · grip at 250 mm" in page
    assert "last checked 2031-01-02" in page
    assert "overdue" not in page


@pytest.mark.parametrize(
    ("checked", "said"), [("", "never checked: overdue"), ("2030-05-03", "last checked 2030-05-03: overdue")]
)
def test_a_wrench_not_checked_within_a_year_is_flagged_in_text(
    garage: Garage, checked: str, said: str
) -> None:
    add(garage, checked_on=checked)
    assert said in words(garage.owner.get(PAGE))


@pytest.mark.parametrize("typed", ["0", "-5", "nan", "inf", "1e9", "1000000000", "", "   ", "5 N", "٥"])
@pytest.mark.parametrize("field", ["low", "high", "graduation"])
def test_a_wrong_number_names_its_field_and_keeps_the_typing(garage: Garage, field: str, typed: str) -> None:
    answer = add(garage, **{field: typed, "name": "Half <typed>"})
    assert answer.status_code == 422
    assert f'href="#{field}"' in answer.text
    assert f'id="{field}-wrong"' in answer.text
    assert 'value="Half &lt;typed&gt;"' in answer.text
    assert garage.rows("SELECT * FROM wrench") == []


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("low", "30"),
        ("high", "9000"),
        ("graduation", "21"),
        ("lever_mm", "-1"),
        ("lever_mm", "nan"),
        ("lever_mm", "9000"),
        ("name", " "),
        ("unit", "N"),
        ("type", "hammer"),
        ("checked_on", "2031-05-06"),
        ("checked_on", "yesterday"),
    ],
)
def test_what_no_wrench_has_is_refused_at_its_field(garage: Garage, field: str, typed: str) -> None:
    answer = add(garage, **{field: typed})
    assert answer.status_code == 422
    assert f'href="#{field}"' in answer.text
    assert garage.rows("SELECT * FROM wrench") == []


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("length_mm", "0"),
        ("length_mm", "1e9"),
        ("angle_deg", "nan"),
        ("angle_deg", "200"),
        ("adapter_name", ""),
    ],
)
def test_what_no_adapter_has_is_refused_at_its_field(garage: Garage, field: str, typed: str) -> None:
    answer = garage.owner.post(f"{PAGE}/adapter", **{**CROW_FOOT, field: typed})
    assert answer.status_code == 422
    assert f'href="#{field}"' in answer.text
    assert garage.rows("SELECT * FROM adapter") == []


def test_an_adapter_that_points_back_to_the_grip_is_refused_in_text(garage: Garage) -> None:
    add(garage)
    answer = garage.owner.post(f"{PAGE}/adapter", **{**CROW_FOOT, "length_mm": "250", "angle_deg": "180"})
    assert answer.status_code == 422
    assert "reaches the grip or beyond it" in answer.text
    assert 'href="#length_mm"' in answer.text


def test_a_wrench_and_an_adapter_are_edited_and_removed(garage: Garage) -> None:
    add(garage)
    adapter = add_adapter(garage)
    wrench = garage.one("SELECT id FROM wrench")
    assert 'value="Small click"' in garage.helper.get(f"{PAGE}?wrench={wrench}").text
    assert 'value="Crow-foot"' in garage.helper.get(f"{PAGE}?adapter={adapter}").text
    assert add(garage, wrench=wrench, rev="1", high="30").status_code == 302
    assert garage.rows("SELECT high, rev FROM wrench") == [("30", 2)]
    garage.owner.post(f"{PAGE}/adapter", **CROW_FOOT | {"length_mm": "60"}, adapter=adapter, rev="1")
    assert garage.rows("SELECT length_mm FROM adapter") == [(60.0,)]

    assert garage.helper.post(f"{PAGE}/remove", wrench=wrench).status_code == 302
    assert garage.helper.post(f"{PAGE}/remove", adapter=adapter).status_code == 302
    assert (
        "gone already"
        in garage.owner.client.post(
            f"{PAGE}/remove",
            data={"csrf_token": garage.owner.token, "adapter": adapter},
            follow_redirects=True,
        ).text
    )
    assert garage.rows("SELECT id FROM wrench UNION SELECT id FROM adapter") == []


def test_a_change_over_another_s_change_is_shown_and_can_be_sent_again(garage: Garage) -> None:
    add(garage)
    wrench = garage.one("SELECT id FROM wrench")
    add(garage, "helper", wrench=wrench, rev="1", name="Hers")
    answer = add(garage, wrench=wrench, rev="1", name="His")
    assert answer.status_code == 409
    assert STALE.message in answer.text
    assert "Hers" in answer.text
    assert 'name="rev" value="2"' in answer.text
    assert add(garage, wrench=wrench, rev="2", name="His").status_code == 302


def test_an_onlooker_sees_no_forms_and_an_unknown_wrench_is_nowhere(garage: Garage) -> None:
    assert "<form" not in garage.onlooker.get(PAGE).text
    assert garage.owner.get(f"{PAGE}?wrench=none").status_code == 404
    assert garage.owner.get("/b/2/wrenches").status_code == 404
    assert garage.owner.post("/b/2/wrenches", **SMALL).status_code == 404
    assert garage.rows("SELECT * FROM wrench") == []


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


def test_pound_inches_are_boxed_unlike_pound_feet(garage: Garage) -> None:
    add(garage, low="40", high="240", unit="lb·in", graduation="2")
    assert "Small click : set 142 lb·in INCH pounds" in card(garage)


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


def test_an_angle_gauge_is_in_degrees_and_holds_no_torque(garage: Garage) -> None:
    add(garage, type="angle", low="1", high="360", graduation="1", lever_mm="")
    assert "1 to 360°, every 1° · angle gauge" in words(garage.owner.get(PAGE))
    assert "holds 16 N·m. Borrow one" in card(garage)


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
