import re
from types import SimpleNamespace

import pytest
from flask import g

from app.web.site.wording import cautions, in_dialect, unbroken, when
from tests.web.conftest import Garage


def test_a_torque_is_not_broken_between_number_and_unit_nor_after_a_plus() -> None:
    assert unbroken("22 N·m + 90°") == "22\xa0N·m +\xa090°"
    assert unbroken("18 lb·ft, 220 lb·in") == "18\xa0lb·ft, 220\xa0lb·in"
    assert unbroken("2 bolts") == "2 bolts"


def test_a_stored_time_is_shown_as_a_day_and_an_hour_of_this_computer() -> None:
    assert re.fullmatch(r"[3-5] May 2031, \d\d:\d\d", when("2031-05-04T12:00:00Z"))


@pytest.mark.parametrize("text", ["", "yesterday", "2031-13-40"])
def test_what_is_no_time_is_shown_as_it_stands(text: str) -> None:
    assert when(text) == text


def test_a_step_shows_the_cautions_that_this_program_knows_in_its_order() -> None:
    both = cautions(["fuel_pressure", "of a newer program", "battery_first"])

    assert both == cautions(["fuel_pressure"]) + cautions(["battery_first"])
    assert len(both) == 2


def test_texts_are_shown_in_the_words_of_the_build_and_without_one_as_they_are(garage: Garage) -> None:
    with garage.app.app_context():
        assert in_dialect("Wrench on the hood") == "Wrench on the hood"
        g.build = SimpleNamespace(dialect="uk")
        assert in_dialect("Wrench on the hood") == "Spanner on the bonnet"
        g.build = SimpleNamespace(dialect="us")
        assert in_dialect("Spanner on the bonnet") == "Wrench on the hood"
