"""Wrenches: kept in the drawer, edited by the crew, and told on a fastener's card."""

import re
from datetime import UTC, datetime
from html import unescape

import pytest
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
