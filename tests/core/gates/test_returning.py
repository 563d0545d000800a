"""Coming back after an evening, weeks or years."""

from datetime import UTC, datetime, timedelta

import pytest

from app.core.gates.returning import Ageing, aged, comes_back, half_done, how_long, moment, stops
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from tests.core.items.lines import undo
from tests.core.ledger.standing import item, stands

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)


def line(line_id: str, verb: str, *, ago: timedelta = timedelta(), after: str = "", seq: int = 0) -> Line:
    at = (NOW - ago).isoformat()
    return Line(
        line_id, "build:1", verb, {"note": f"note {line_id}"}, frozenset(after.split()), "Ada", "", seq, at
    )


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (timedelta(seconds=20), "0 minutes"),
        (timedelta(minutes=1), "1 minute"),
        (timedelta(minutes=59), "59 minutes"),
        (timedelta(hours=1), "1 hour"),
        (timedelta(hours=23), "23 hours"),
        (timedelta(days=1), "1 day"),
        (timedelta(days=13), "13 days"),
        (timedelta(days=14), "2 weeks"),
        (timedelta(days=60), "8 weeks"),
        (timedelta(days=425), "13 months"),
        (timedelta(days=800), "2 years"),
    ],
)
def test_a_span_is_said_as_a_person_says_it(span: timedelta, words: str) -> None:
    assert how_long(span) == words


def test_somebody_comes_back_after_a_stop_or_half_a_day() -> None:
    assert comes_back(line("a", "stop"), NOW)
    assert comes_back(line("a", "mark", ago=timedelta(hours=13)), NOW)
    assert not comes_back(line("a", "mark", ago=timedelta(hours=11)), NOW)
    assert not comes_back(None, NOW)


def test_a_clock_that_wrote_no_time_is_no_time() -> None:
    assert moment("yesterday") is None
    assert moment("2031-05-04T09:30:00") is None
    assert moment("2031-05-04T09:30:00Z") == NOW


def test_stops_come_newest_first_and_one_taken_back_is_none() -> None:
    first, second = line("a", "stop", seq=1), line("b", "stop", after="a", seq=2)
    assert [stop.note for stop in stops([first, second, line("c", "edit")])] == ["note b", "note a"]
    assert [stop.line for stop in stops([first, second, undo("u", "b", after=["b"])])] == ["a"]


def test_what_is_loud_comes_apart_from_what_is_half_done() -> None:
    tight_by_hand = stands(item(Kind.FASTENER, "1"), Act.OFF, Act.PLACED, Act.HAND_TIGHT)
    aside = stands(item(Kind.PART, "2"), Act.OFF, Act.ASIDE)
    seated = stands(item(Kind.CONNECTION, "3"), Act.OFF, Act.SEATED)
    off = stands(item(Kind.PART, "4"), Act.OFF)
    words = [("hand_tight", tight_by_hand), ("aside", aside), ("seated", seated), ("off", off)]
    assert half_done(words) == ((tight_by_hand, aside), (seated,))


def test_one_hand_tight_bolt_makes_its_group_loud_whatever_the_others_are() -> None:
    it = item(Kind.FASTENER, n=2)
    some = stands(
        it,
        Act.OFF,
        lines=(Line("x", "item:1", "mark", {"act": "hand_tight", "pos": [2]}, frozenset({"0"}), "Ada"),),
    )
    assert half_done([("off", some)])[0] == (some,)


def test_what_has_aged_are_those_whose_months_have_passed_soonest_first() -> None:
    entries = [
        Ageing(key, months, key, "look", "") for key, months in (("hoses", 24), ("fuel", 3), ("battery", 1))
    ]
    assert [each.key for each in aged(entries, timedelta(days=100))] == ["battery", "fuel"]
    assert aged(entries, timedelta(days=29)) == ()
