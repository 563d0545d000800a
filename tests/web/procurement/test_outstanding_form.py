from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from app.core.money import Money
from app.core.problem import Problem
from app.core.procurement.outstanding import Outstanding
from app.web.procurement.outstanding_form import filled_form, read_count, read_outstanding, set_field_errors
from tests.web.conftest import Garage
from tests.web.procurement.test_outstanding import send_away

KEPT = Outstanding(
    "a" * 32, "item:" + "b" * 32, "away", "machine", "skim 0.1", "the machine shop", date(2031, 5, 1),
    date(2031, 5, 12), Money(9050, "EUR"), count=2,
)  # fmt: skip


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    """The day on which these tests happen is 4 May 2031."""
    monkeypatch.setattr("app.web.site.context.now", lambda: datetime(2031, 5, 4, 12, 0, tzinfo=UTC))


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("price", "cheap"),
        ("price", "-5"),
        ("price", "1,234.50"),
        ("count", "-3"),
        ("count", "0"),
        ("count", "two"),
        ("count", "٢"),
        ("due", "2031-05-03"),
        ("due", "12 May"),
        ("since", "2031-05-05"),
        ("need", "polish"),
        ("what", "x" * 201),
    ],
)
def test_a_wrong_field_is_named_and_the_typing_kept(garage: Garage, field: str, typed: str) -> None:
    item = garage.item("part", name="Heads")
    before = garage.everything()
    answer = send_away(garage, item, at_whom="the «shop»", **{field: typed})
    assert answer.status_code == 422
    assert f'href="#{field}"' in answer.text
    assert f'id="{field}-wrong"' in answer.text
    assert 'value="the «shop»"' in answer.text
    assert garage.everything() == before


def test_what_is_stored_is_read_from_its_form_unchanged(garage: Garage) -> None:
    garage.app.config["WTF_CSRF_ENABLED"] = False
    with garage.app.test_request_context():
        found = read_outstanding(filled_form(KEPT), KEPT, "EUR")

    assert found == (KEPT, [])


def test_a_field_that_the_category_has_not_got_is_passed_over(garage: Garage) -> None:
    before = replace(KEPT, category="soak", need="", at_whom="", price=None, count=1, due=None)
    garage.app.config["WTF_CSRF_ENABLED"] = False
    with garage.app.test_request_context():
        found, problems = read_outstanding(filled_form(KEPT), before, "EUR")

    assert problems == []
    assert (found.at_whom, found.price, found.count) == ("", None, 1)
    assert found.due == KEPT.due


@pytest.mark.parametrize(("typed", "count"), [("4", 4), (" 12 ", 12), ("-3", -3), ("0", 0)])
def test_a_count_is_read_as_typed(typed: str, count: int) -> None:
    assert read_count(typed) == count


@pytest.mark.parametrize("typed", ["", "two", "1.5", "٢", "1234567890", "--1"])
def test_what_is_no_count_is_a_problem_at_its_field(typed: str) -> None:
    found = read_count(typed)

    assert isinstance(found, Problem)
    assert found.where == "count"


def test_a_problem_stands_at_its_field_once(garage: Garage) -> None:
    problem = Problem("count", "Type the count.", "count")
    with garage.app.test_request_context():
        form = filled_form(KEPT)
        form.validate()
        set_field_errors(form, [problem, problem, replace(problem, where="nowhere")])

    assert [*form.count.errors] == ["Type the count."]
