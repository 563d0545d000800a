"""What milestones, choices, explanations and acceptances may say."""

from typing import Any

import pytest

from app.core.items.bodies.milestones import MILESTONES
from app.core.items.bodies.reading import PHONE_VERBS, read_body, record_type
from app.core.phases.milestones import MILESTONE_VERBS, SETTLE


def test_every_milestone_has_a_body_and_phones_may_send_it() -> None:
    assert {body.VERB for body in MILESTONES} == MILESTONE_VERBS
    assert {*MILESTONE_VERBS, SETTLE, "explain", "accept"} <= PHONE_VERBS


@pytest.mark.parametrize(
    ("verb", "stored", "wrong"),
    [
        ("rise", {"units": ["old"], "round": 1}, ""),
        ("rise", {"units": "old"}, "units"),
        ("rise", {"round": 0}, "round"),
        ("rise", {"round": True}, "round"),
        ("first_start", {"km": "120 000"}, "km"),
        ("first_start", {"on": "2031-05-04", "km": "120000"}, ""),
        ("lift_in", {"reason": "x" * 401}, "reason"),
        ("choose", {"of": ["a", "b"], "holds": "a"}, ""),
        ("choose", {"of": ["a", "b"]}, "holds"),
        ("explain", {"finding": "left-in:a:b"}, "reason"),
        ("accept", {}, ""),
    ],
)
def test_what_cannot_be_read_is_named(verb: str, stored: dict[str, Any], wrong: str) -> None:
    problem = record_type(verb, "build").check(stored)
    assert (problem.where if problem else "") == wrong


def test_a_body_is_stored_as_it_was_read() -> None:
    stored = {"units": ["old"], "round": 2, "open": ["x"], "reason": "rain"}
    assert read_body("rise", "build:b", stored).stored() == stored
