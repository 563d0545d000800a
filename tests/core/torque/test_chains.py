"""One chain of stages in two units is run once."""

import re

import pytest

from tests.core.torque.printed import code, said


@pytest.mark.parametrize(
    "text",
    [
        "20 N·m -> +60° (2.0 kgf·m -> +60°)",
        "20 N·m plus 60° (15 lb·ft plus 60°)",
        "20 N·m + 60° / 15 lb·ft + 60°",
        "20 N·m + 60° = 15 lb·ft + 60°",
        "20 N·m + 60°\n15 lb·ft + 60°",
    ],
)
def test_a_chain_in_two_units_is_run_once(text: str) -> None:
    assert re.sub(r" \(.*?\)", "", said(text)) == "20 N·m; 60°"


def test_a_chain_in_brackets_that_says_something_else_is_refused() -> None:
    assert code("20 N·m + 60° (15 lb·ft + 90°)") == "chains-disagree"
    assert code("20 N·m + 60° (30 lb·ft + 60°)") == "chains-disagree"


def test_a_chain_in_three_units_is_run_once_and_each_is_kept_as_a_column() -> None:
    assert said("20 N·m + 60° / 15 lb·ft + 60° / 2.0 kgf·m + 60°") == "20 N·m (15 lb·ft, 2.0 kgf·m); 60°"


def test_a_chain_in_the_same_unit_is_run_as_often_as_it_is_printed() -> None:
    assert said("20 N·m + 60°, then 20 N·m + 60°") == "20 N·m; 60°; 20 N·m; 60°"
