"""Fluids on their card: amounts with the act, the question where too little went in, its answer by name."""

import re
from html import unescape

import pytest
from werkzeug.test import TestResponse

from tests.web.conftest import Garage


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def say(garage: Garage, item: str, **fields: str) -> TestResponse:
    return garage.helper.post(f"/i/{item}/line", after=garage.state(item)["tips"], **fields)


def short(garage: Garage) -> str:
    """A fluid of which 4.6 l came out and 3.0 went in."""
    oil = garage.item("fluid", name="Washer fluid", system="washer", capacity_l="4.6")
    assert say(garage, oil, verb="count", litres="4,6", of="drained").status_code == 302
    assert say(garage, oil, verb="mark", act="filled", litres="3.0").status_code == 302
    return oil


def test_the_card_asks_once_and_the_line_stays_open(garage: Garage) -> None:
    oil = short(garage)
    page = words(garage.owner.get(f"/i/{oil}"))
    assert page.count("You drained 4.6 l and filled 3 l: is that right?") == 1
    assert "filled much less than was drained" in words(garage.owner.get("/b/1/ledger"))


def test_a_top_up_closes_it(garage: Garage) -> None:
    oil = short(garage)
    say(garage, oil, verb="count", litres="1.2", of="filled")
    page = words(garage.owner.get(f"/i/{oil}"))
    assert "is that right" not in page
    assert "Filled 4.2 l" in page
    assert "Closed. Nothing is left to do here." in page


def test_an_answer_needs_words_and_closes_it_by_name(garage: Garage) -> None:
    oil = short(garage)
    refused = say(garage, oil, verb="acknowledge", amounts="right")
    assert refused.status_code == 422
    assert 'href="#amounts-reason"' in refused.text
    say(garage, oil, verb="acknowledge", amounts="right", reason="the cooler stays full")
    page = words(garage.owner.get(f"/i/{oil}"))
    assert "is that right" not in page
    assert ": the cooler stays full" in page


def test_an_amount_may_be_left_out_with_the_act_but_not_where_it_is_all_there_is(garage: Garage) -> None:
    oil = garage.item("fluid", name="Engine oil")
    assert say(garage, oil, verb="count", litres="", of="drained").status_code == 422
    assert say(garage, oil, verb="mark", act="filled", litres="").status_code == 302
    assert garage.state(oil)["amounts"] == {"drained": None, "filled": None, "answered": False}


@pytest.mark.parametrize("typed", ["-1", "0", "lots", "201", "1e2", "4.6 l"])
def test_an_amount_that_is_none_is_named_and_kept(garage: Garage, typed: str) -> None:
    oil = garage.item("fluid", name="Engine oil")
    before = garage.everything()
    refused = say(garage, oil, verb="count", litres=typed, of="filled")
    assert refused.status_code == 422
    assert 'href="#litres"' in refused.text
    assert f'value="{typed}"' in refused.text
    assert garage.everything() == before


def test_the_next_act_asks_how_much(garage: Garage) -> None:
    oil = garage.item("fluid", name="Engine oil")
    assert "Filled, liters" in words(garage.owner.get(f"/i/{oil}"))


def test_what_happened_says_an_amount_once(garage: Garage) -> None:
    page = words(garage.owner.get(f"/i/{short(garage)}"))
    assert page.count("4.6 l drained") == 1
    assert page.count("filled, 3 l") == 1
