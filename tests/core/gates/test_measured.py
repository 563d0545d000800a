"""Answers of a gate: ticks, a load against the plate, a measure between its limits."""

from typing import Any

import pytest

from app.core.gates.measured import SKIPPED, Question, answer_problem
from app.core.problem import Problem

WEIGHT = Question("weight", "What hangs", "at_most", ("kg", "lb"))
DEPTH = Question("depth", "Converter depth", "between", ("mm", "in"), "No converter here")
TICK = Question("neutral", "Neutral")


def code(question: Question, value: Any) -> str:
    found = answer_problem(question, value)
    return found.code if isinstance(found, Problem) else ""


@pytest.mark.parametrize(
    ("question", "value", "expected"),
    [
        (TICK, "yes", ""),
        (TICK, "no", "answer"),
        (TICK, SKIPPED, "answer"),
        (WEIGHT, {"measured": "240", "high": "250", "unit": "kg"}, ""),
        (WEIGHT, {"measured": "250", "high": "250", "unit": "kg"}, ""),
        (WEIGHT, {"measured": "250.5", "high": "250", "unit": "kg"}, "too-heavy"),
        (WEIGHT, {"measured": "250,5", "high": "250", "unit": "lb"}, "too-heavy"),
        (WEIGHT, {"measured": "240", "high": "250"}, "answer"),
        (WEIGHT, {"measured": "", "high": "250", "unit": "kg"}, "number"),
        (WEIGHT, {"measured": "-3", "high": "250", "unit": "kg"}, "number"),
        (WEIGHT, {"measured": "nan", "high": "250", "unit": "kg"}, "number"),
        (WEIGHT, {"measured": "240", "high": "inf", "unit": "kg"}, "number"),
        (WEIGHT, SKIPPED, "answer"),
        (WEIGHT, ["240"], "answer"),
        (DEPTH, {"measured": "21", "low": "18", "high": "24", "unit": "mm"}, ""),
        (DEPTH, {"measured": "17.9", "low": "18", "high": "24", "unit": "mm"}, "outside"),
        (DEPTH, {"measured": "24.1", "low": "18", "high": "24", "unit": "mm"}, "outside"),
        (DEPTH, {"measured": "21", "low": "24", "high": "18", "unit": "mm"}, "limits"),
        (DEPTH, SKIPPED, ""),
    ],
)
def test_an_answer_lets_through_what_is_within_and_says_what_is_not(
    question: Question, value: Any, expected: str
) -> None:
    assert code(question, value) == expected


def test_what_is_too_heavy_is_said_with_both_figures() -> None:
    found = answer_problem(WEIGHT, {"measured": "310", "high": "250", "unit": "kg"})
    assert found
    assert "310 kg" in found.message
    assert "250 kg" in found.message
