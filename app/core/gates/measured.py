"""Questions of a gate: ticked, or answered with what was measured and the limits it is held against."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from app.core.problem import Problem

SKIPPED = "not_here"
"""The answer that says that the question does not apply to this vehicle."""

FIELDS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "tick": (),
    "at_most": (("measured", "What hangs"), ("high", "The plate says")),
    "between": (("measured", "Measured"), ("low", "At least"), ("high", "At most")),
}
"""The numbers that each type of question asks for, with their labels."""


@dataclass(frozen=True, slots=True)
class Question:
    """A question of a gate.

    Args:
        key: Its name in lines.
        text: As a person reads it.
        type: One of `FIELDS`.
        units: The units that the numbers may be in; both numbers are in the same.
        skip: What the button says that lets it not apply; empty where it always does.
        source: Where the question comes from.
    """

    key: str
    text: str
    type: str = "tick"
    units: tuple[str, ...] = ()
    skip: str = ""
    source: str = "common practice"


def answer_problem(question: Question, value: Any) -> Problem | None:
    """Return what is wrong with an answer; `None` where it lets the gate through.

    Args:
        question: What was asked.
        value: "yes" for a tick; `SKIPPED`; for numbers a mapping of `FIELDS` and "unit".
    """
    if question.skip and value == SKIPPED:
        return None
    if question.type == "tick":
        return None if value == "yes" else _unreadable(question)
    read = read_numbers(question, value)
    return read if isinstance(read, Problem) else _outside(question, read, str(value["unit"]))


def read_numbers(question: Question, value: Any) -> dict[str, float] | Problem:
    """Return the numbers of an answer, in its own unit, all above zero, or what is wrong with them."""
    if not isinstance(value, Mapping) or value.get("unit") not in question.units:
        return _unreadable(question)
    numbers = {}
    for key, label in FIELDS[question.type]:
        try:
            number = float(str(value.get(key, "")).strip().replace(",", "."))
        except ValueError:
            number = 0.0
        if not isfinite(number) or number <= 0:
            return Problem("number", f"«{label}» must be a number above zero.", f"{question.key}-{key}")
        numbers[key] = number
    if numbers.get("low", 0) > numbers["high"]:
        return Problem("limits", "The lower limit is above the upper one.", f"{question.key}-low")
    return numbers


def _unreadable(question: Question) -> Problem:
    return Problem("answer", "The answer cannot be read. Answer it anew.", question.key)


def _outside(question: Question, numbers: Mapping[str, float], unit: str) -> Problem | None:
    measured, high, low = numbers["measured"], numbers["high"], numbers.get("low", 0.0)
    if low <= measured <= high:
        return None
    if question.type == "at_most":
        message = (
            f"{measured:g} {unit} is more than the plate’s {high:g} {unit}: it must not be lifted with this "
            "hoist at this boom length."
        )
        return Problem("too-heavy", message, f"{question.key}-measured")
    side = "less than" if measured < low else "more than"
    bound = low if measured < low else high
    message = f"{measured:g} {unit} is {side} {bound:g} {unit}: find out why before you go on."
    return Problem("outside", message, f"{question.key}-measured")
