from typing import Any

import pytest

from app.core.items.bodies.base import Body
from app.core.items.bodies.gates import LONGEST_TEXT, Answer, Pass, Recheck, Start, Stop, is_km


@pytest.mark.parametrize(
    ("value", "reads"),
    [
        *(("", True), ("0", True), ("1234567", True), ("12345678", False), ("12.5", False), ("-1", False)),
        *(("12 km", False), ("١٢", False), ("²", False), (12, False), (None, False)),
    ],
)
def test_a_counter_is_read_in_whole_km_of_seven_digits_or_not_at_all(value: object, reads: bool) -> None:
    assert is_km(value) is reads


def test_an_answer_is_of_a_question_or_begins_all_anew() -> None:
    assert Answer.check({"gate": "lift", "question": "q", "value": None}) is None
    assert Answer.check({"gate": "lift", "anew": True}) is None
    for nothing in ({"gate": "lift", "value": "yes"}, {"question": "", "value": "yes"}):
        problem = Answer.check(nothing)
        assert problem is not None
        assert problem.where == "question"


def test_a_pass_says_what_was_open_on_the_screen_though_it_was_nothing() -> None:
    problem = Pass.check({"gate": "lift", "reason": "in a hurry"})

    assert problem is not None
    assert problem.where == "open"
    assert Pass.check({"gate": "lift", "open": []}) is None
    assert Pass.read({"open": ["a", "b"]}).open == ("a", "b")


@pytest.mark.parametrize(("body", "name"), [(Pass, "reason"), (Stop, "note"), (Answer, "question")], ids=str)
def test_a_long_text_is_kept_up_to_its_limit_and_refused_beyond(body: type[Body], name: str) -> None:
    more: dict[str, Any] = {"open": []} if body is Pass else {}

    assert body.check({**more, name: "x" * LONGEST_TEXT}) is None
    problem = body.check({**more, name: "x" * (LONGEST_TEXT + 1)})
    assert problem is not None
    assert problem.where == name


def test_an_answer_that_saw_no_lines_differs_from_one_that_does_not_say() -> None:
    assert Answer.read({"question": "q"}).seen is None
    assert Answer.read({"question": "q", "seen": []}).seen == ()


def test_a_start_and_a_recheck_keep_day_and_km_as_typed() -> None:
    assert Start.read({"on": "2031-05-04", "km": "12"}) == Start(on="2031-05-04", km="12")
    assert Recheck.read({"text": "wheel nuts", "km": "1050"}).stored() == {"text": "wheel nuts", "km": "1050"}
