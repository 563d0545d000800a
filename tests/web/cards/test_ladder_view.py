"""The ladder on a card: every rung that a thing has, and where it stands."""

from typing import Any

import pytest

from app.core.builds.snapshot import Entry
from app.core.items.items import Connection, Detail, Fastener, Fluid, Item
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, PositionState
from app.web.cards.ladder_view import ladder


def drawn(kind: Kind, key: str, detail: Detail, **words: Any) -> list[tuple[str, str]]:
    """Return the words of the rungs, and how each stands."""
    act = Act(key) if key in {each.value for each in Act} else None
    state = ItemState(positions=(PositionState(1, act),) if act else ())
    entry = Entry(Item("i", 1, kind, detail=detail, **words), state, (), key)
    return [(rung.words, rung.at) for rung in ladder(entry)]


def test_a_plug_stands_on_its_rung_with_what_is_done_and_what_is_ahead() -> None:
    assert drawn(Kind.CONNECTION, "seated", Connection(type="electrical connector")) == [
        ("off", "done"),
        ("seated", "now"),
        ("latched", "later"),
        ("routed", "later"),
    ]


def test_only_what_is_asked_for_is_a_rung() -> None:
    critical = drawn(Kind.CONNECTION, "off", Connection(), critical=True)
    assert critical[-1] == ("checked", "later")
    assert [words for words, _ in drawn(Kind.FLUID, "drained", Fluid(bleeds=False))] == ["drained", "filled"]
    single = [words for words, _ in drawn(Kind.FASTENER, "off", Fastener(torque="9 N·m"))]
    staged = [words for words, _ in drawn(Kind.FASTENER, "off", Fastener(torque="9 N·m + 90°"))]
    assert single == ["off", "in position", "hand-tight", "tight"]
    assert staged == ["off", "in position", "hand-tight", "stage 0 of 2", "tight"]


@pytest.mark.parametrize(("key", "words"), [("aside", "aside"), ("on", "still on"), ("loosened", "loosened")])
def test_a_state_beside_the_ladder_stands_in_the_place_of_the_first_rung(key: str, words: str) -> None:
    assert drawn(Kind.CONNECTION, key, Connection())[:2] == [(words, "now"), ("seated", "later")]


@pytest.mark.parametrize("key", ["left_out", "stays_on_old", "replaced", "disagree", "unused"])
def test_what_goes_up_no_ladder_says_its_state_alone(key: str) -> None:
    assert [at for _, at in drawn(Kind.CONNECTION, key, Connection())] == ["now"]


def test_a_step_that_was_not_done_stands_on_no_rung() -> None:
    assert drawn(Kind.STEP, "on", Connection()) == [("done", "later")]
