"""How the engine leaves and comes back: asked, never guessed, changed until it is out."""

import re

import pytest
from sqlalchemy import text

from tests.web.conftest import Garage
from tests.web.phases.test_phases import ROUTE, say_route, tell


def test_the_bay_asks_how_the_engine_comes_out_until_it_is_said(garage: Garage) -> None:
    with garage.folder.database.unit_of_work() as session:
        session.execute(text("UPDATE build SET swap = '{}', rev = rev + 1"))
    assert "How does the engine come out?" in garage.owner.get("/b/1/bay").text
    assert say_route(garage).status_code == 302
    assert "Old engine: in the vehicle" in garage.owner.get("/b/1/bay").text


def test_nothing_of_the_route_is_chosen_for_anybody_and_what_is_missing_is_named(garage: Garage) -> None:
    answer = garage.owner.post("/b/1/route", out="engine_up", rev="1")
    assert answer.status_code == 422
    assert "Choose how an engine goes in." in answer.text
    kept = re.findall(r'<input[^>]*name="(\w+)"[^>]*checked|<input checked[^>]*name="(\w+)"', answer.text)
    assert [*filter(None, kept[0])] == ["out"]
    assert len(kept) == 1


def test_the_way_out_cannot_be_changed_once_the_engine_is_out_and_what_was_chosen_is_kept(
    garage: Garage,
) -> None:
    say_route(garage)
    tell(garage, "rise", "old")
    answer = say_route(garage, out="together_up")
    assert answer.status_code == 422
    assert "The engine is out already" in answer.text


@pytest.mark.parametrize("left_open", ["", *ROUTE])
def test_a_new_build_takes_a_route_for_said_only_when_all_four_answers_are_given(
    garage: Garage, left_open: str
) -> None:
    answers = {key: value for key, value in ROUTE.items() if key != left_open}
    form = {"title": "Red van", "layout": "transverse", "units": "N·m", "dialect": "us"}
    assert garage.owner.post("/builds/new", **form, **answers).status_code == 302
    asks = "How does the engine come out?" in garage.owner.get("/b/2/bay").text
    assert asks == bool(left_open)


def test_no_is_remembered_when_an_engine_gets_another_name(garage: Garage) -> None:
    say_route(garage)
    with garage.folder.database.unit_of_work() as session:
        session.execute(text("UPDATE build SET swap = json_set(swap, '$.asked', json('true'))"))
        session.execute(text("UPDATE build SET rev = rev + 1"))
    assert say_route(garage, old_name="the tired one").status_code == 302
    assert '"asked": true' in garage.one("SELECT swap FROM build")
    assert "The tired one: in the vehicle" in garage.owner.get("/b/1/bay").text
