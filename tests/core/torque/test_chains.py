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
