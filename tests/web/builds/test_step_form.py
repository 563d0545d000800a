"""What the form of a step says, and what a page from before a field was on it leaves unsaid."""

import pytest

from app.core.order.acts import StepEdge
from app.web.builds.step_form import read_predecessors
from tests.web.builds.test_steps import STEP, WORDS, row, step
from tests.web.conftest import Garage


def test_a_proposed_name_that_is_sent_back_stays_proposed(garage: Garage) -> None:
    garage.owner.post("/b/1/steps", **STEP, **(WORDS | {"name_back": "Pipes back on"}))
    assert row(garage, step(garage, "Pipes off"))[1] == ""


def test_a_page_from_before_the_two_names_takes_nothing_away(garage: Garage) -> None:
    battery = step(garage, "Battery off")
    before = row(garage, battery)
    sent = STEP | {"name": "Battery off"}
    assert garage.owner.post(f"/steps/{battery}", what="edit", rev="1", **sent).status_code == 302
    assert row(garage, battery) == before


@pytest.mark.parametrize(
    ("field", "value"), [("role", "pilot"), ("name_back", "x" * 81), ("instruction", "x" * 601)]
)
def test_words_that_do_not_fit_are_refused(garage: Garage, field: str, value: str) -> None:
    before = garage.everything()
    assert garage.owner.post("/b/1/steps", **STEP, **(WORDS | {field: value})).status_code == 422
    assert garage.everything() == before


def test_the_steps_that_come_first_are_read_with_their_reasons(
    garage: Garage,
) -> None:
    sent = {"predecessors": ["a", "", "b"], "waits_why": [" no room ", "left over", "x" * 201]}
    with garage.app.test_request_context(method="POST", data=sent):
        found = read_predecessors("me")

    assert found == [StepEdge("a", "me", "no room"), StepEdge("b", "me", "x" * 200)]


def test_a_page_that_does_not_ask_what_comes_first_says_nothing_of_it(garage: Garage) -> None:
    with garage.app.test_request_context(method="POST", data={"name": "Pipes off"}):
        assert read_predecessors("me") is None
