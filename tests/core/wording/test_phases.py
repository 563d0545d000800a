"""Units, routes and milestones in words."""

from app.core.phases.next_milestones import next_milestone, other_milestones
from app.core.phases.phases import fold_phases
from app.core.phases.routes import Route
from app.core.wording.phases import (
    ROUTE_BACK,
    ROUTE_OUT,
    button_text,
    engine_line,
    milestone_text,
    unit_text,
    where_texts,
)
from tests.core.phases.told import SWAP, row
from tests.swaps import ENGINE_UP

PHASES = fold_phases(ENGINE_UP.units, [])


def test_every_route_has_words_for_both_ways() -> None:
    assert set(ROUTE_OUT) == set(ROUTE_BACK) == set(Route)


def test_every_milestone_that_is_offered_has_words_of_its_own() -> None:
    following = next_milestone(ENGINE_UP, PHASES)
    assert following
    offers = [following, *other_milestones(ENGINE_UP, PHASES)]
    texts = [button_text(offer, ENGINE_UP.units) for offer in offers]
    assert len(set(texts)) == len(texts)
    assert "Old engine was out already" in texts


def test_the_line_of_the_bay_says_where_each_is_or_asks() -> None:
    where = where_texts(PHASES)
    assert where[:2] == (("Old engine", "in the vehicle"), ("New engine", "on the stand"))
    assert engine_line(True, where).startswith("Old engine: in the vehicle · New engine: on the stand")
    assert engine_line(False, where) == "How does the engine come out?"


def test_what_was_told_is_said_as_its_button_was() -> None:
    phases = fold_phases(SWAP, row("hook_up old", "rise old"))
    assert [milestone_text(event.milestone, SWAP) for event in phases.events] == [
        "The hook is on",
        "Old engine out of its place",
    ]
    assert unit_text(SWAP.known[0]) == "vehicle"
