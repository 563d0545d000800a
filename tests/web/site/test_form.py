import pytest

from app.core.problem import Problem
from app.web.site.form import RefusedError, choices, read_number


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("7", 7),
        ("0", 0),
        ("999999999", 999_999_999),
        ("1000000000", 0),
        ("", 0),
        ("-1", 0),
        ("1.0", 0),
        ("٣", 0),
    ],
)
def test_a_hidden_number_is_read_or_none(typed: str, number: int) -> None:
    assert read_number(typed) == number


def test_the_options_of_a_choice_stand_in_their_order_with_value_and_words() -> None:
    made = choices([("b", "Second"), ("a", "First")])

    assert [(each.value, each.label) for each in made] == [("b", "Second"), ("a", "First")]


def test_what_was_refused_keeps_all_its_problems_and_says_the_first() -> None:
    problems = (Problem("a", "First.", "name"), Problem("b", "Second.", "note"))

    error = RefusedError(*problems)

    assert (error.problems, str(error)) == (problems, "First.")
