"""Which readings stand, and which a person is to compare with the print: once for each text."""

from dataclasses import dataclass

import pytest

from app.core.torque.confirming import REOPENS, STANDS, Standing, read_as, reading_of


@dataclass(frozen=True)
class Said:
    torque: str
    reading: str


LEAST = "min. 25 N·m"


@pytest.mark.parametrize("text", ["25 N·m", "60 N·m + 90°", "20 N·m then 40 N·m"])
def test_a_plain_form_that_always_read_the_same_needs_nobody(text: str) -> None:
    assert reading_of(text, read_as(text), ()).standing is Standing.PLAIN
    assert reading_of(text, "", ()).stands


@pytest.mark.parametrize(
    "text",
    ["60 N·m, then loosen 90°", "20 N·m + one twelfth of a turn", "20 N·m -> +60° (2.0 kgf-m -> +60°)"],
)
def test_a_plain_form_with_more_than_figures_is_asked_about_where_no_reading_was_kept(text: str) -> None:
    assert reading_of(text, "", ()).standing is Standing.EARLIER
    assert reading_of(text, read_as(text), ()).standing is Standing.PLAIN


def test_any_other_form_is_confirmed_once() -> None:
    assert reading_of(LEAST, LEAST, ()).standing is Standing.UNCONFIRMED
    assert reading_of(LEAST, LEAST, [Said(LEAST, LEAST)]).standing is Standing.CONFIRMED
    assert "least value" in " ".join(reading_of(LEAST, LEAST, ()).doubts)


def test_a_confirmation_lapses_with_another_text() -> None:
    other = "25 N·m min."

    assert read_as(other) == LEAST
    assert reading_of(other, LEAST, [Said(LEAST, LEAST)]).standing is Standing.UNCONFIRMED


def test_a_plain_form_that_an_earlier_version_read_otherwise_is_asked_about_with_both_readings() -> None:
    """An earlier reader took a loosening turn for a tightening one."""
    text = "60 N·m, then loosen 90°"
    found = reading_of(text, "60 N·m; 90°", ())

    assert found.standing is Standing.CHANGED
    assert (found.before, found.read_as) == ("60 N·m; 90°", "60 N·m; loosen 90°")


def test_a_confirmed_reading_that_changed_is_asked_about_again_and_stands_when_confirmed_anew() -> None:
    old = Said(LEAST, "25 N·m")
    assert reading_of(LEAST, "25 N·m", [old]).standing is Standing.CHANGED
    assert reading_of(LEAST, "25 N·m", [old, Said(LEAST, LEAST)]).standing is Standing.CONFIRMED


def test_what_was_read_before_readings_were_kept_is_asked_about_unless_plain() -> None:
    assert reading_of(LEAST, "", ()).standing is Standing.EARLIER


def test_a_print_that_cannot_be_read_any_more_never_stands() -> None:
    text = "Front 30 N·m, rear 40 N·m"
    found = reading_of(text, "30 N·m; 40 N·m", [Said(text, "30 N·m; 40 N·m")])

    assert (found.standing, found.read_as, found.before) == (Standing.UNREADABLE, "", "30 N·m; 40 N·m")


def test_no_torque_asks_nothing() -> None:
    assert reading_of("", "", ()).stands
    assert not REOPENS & STANDS
