from typing import Any

import pytest

from app.core.items.bodies.acts import Acknowledge, Count, Dispose, Fate, Mark, Move, Settle
from app.core.items.bodies.base import Body
from app.core.items.kinds import Act

HEX = "0" * 32


@pytest.mark.parametrize(
    "said",
    [
        {"act": "off"},
        {"piece": ""},
        {"destiny": "refit"},
        {"fate": "sold"},
        {"place": ""},
        {"lengths": "1-8: 25"},
    ],
)
def test_what_settles_says_at_least_one_thing_that_can_be_disputed(said: dict[str, Any]) -> None:
    assert Settle.check(said) is None
    for nothing in ({}, {"reason": "both looked"}, {"litres": 4.0, "of": "filled"}):
        problem = Settle.check(nothing)
        assert problem is not None
        assert problem.where == "act"


def test_a_caution_is_looked_into_with_the_torque_that_was_printed() -> None:
    assert Acknowledge.check({"caution": "far-above", "torque": "900 N·m"}) is None
    for alone, lacks in (("caution", "torque"), ("torque", "caution")):
        problem = Acknowledge.check({alone: "x"})
        assert problem is not None
        assert problem.where == lacks


@pytest.mark.parametrize(
    ("body", "stored"),
    [
        (Mark, {"act": "stage", "stage": 100}),
        (Mark, {"act": "off", "piece": "gone"}),
        (Mark, {"act": "off", "reached": "9" * 81}),
        (Count, {"of": "spilled"}),
        (Count, {"litres": 201}),
        (Move, {"place": "shelf"}),
        (Dispose, {"destiny": "eaten"}),
        (Fate, {"fate": "eaten"}),
        (Acknowledge, {"caution": "c", "torque": "t", "amounts": "wrong"}),
    ],
)
def test_a_word_or_an_amount_that_no_release_knows_is_refused_by_its_field(
    body: type[Body], stored: dict[str, Any]
) -> None:
    problem = body.check(stored)

    assert problem is not None
    assert problem.where == list(stored)[-1]


def test_nowhere_is_a_place_to_be_moved_to_and_nothing_said_of_a_place_is_not() -> None:
    assert Move.read({"place": ""}).values("place") == {"place": ""}
    assert Move.read({}).values("place") == {}
    assert Move.read({"place": HEX}).place == HEX


def test_at_all_positions_differs_from_at_some() -> None:
    assert Mark.read({"act": "off"}) == Mark(act=Act.OFF, pos=None)
    assert Mark.read({"act": "off", "pos": [2, 3]}).pos == (2, 3)
