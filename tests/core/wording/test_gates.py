"""Gates in words."""

from typing import Any

import pytest

from app.core.gates.by_phase import GateLook, OpenLine
from app.core.gates.gate_state import GateState
from app.core.gates.gates import Asked, Gate, GateAnswer, GateFacts, Pass
from app.core.gates.measured import SKIPPED, Question
from app.core.items.kinds import Kind
from app.core.wording.gates import ahead_text, answer_text, gate_headline, gate_text, guard_text, shut_by_text
from tests.core.ledger.standing import item, stands

CLEAN, ALL_THE_SAME = Pass("p", "ada", "2031"), Pass("p", "ada", "2031", ("x",), "in a hurry")


def gate(lines: int, questions: int, *passes: Pass) -> GateState[Any]:
    facts = GateFacts(passes=passes, newest=frozenset(each.line for each in passes))
    asked = tuple(Asked(Question(f"q{n}", "Is it?"), None, None) for n in range(questions))
    opened = tuple(OpenLine(stands(item(Kind.PART, f"l{n}")), "open") for n in range(lines))
    return GateState(Gate("lift", "Before it rises", "lift"), GateLook(opened, (), (), ()), asked, facts)


@pytest.mark.parametrize(
    ("state", "listed", "before", "beside", "headline"),
    [
        (
            gate(2, 1),
            "2 lines, 1 question open",
            "2 lines, 1 question keep it shut",
            "3 keep the gate shut",
            ("3 keep it shut", "2 lines, 1 question"),
        ),
        (
            gate(1, 0, CLEAN),
            "1 line open again since it was passed",
            "passed, 1 line open",
            "1 keeps the gate shut",
            ("1 open since it was passed", "1 line"),
        ),
        (
            gate(0, 2, ALL_THE_SAME),
            "2 questions open · passed all the same",
            "passed, 2 questions open",
            "2 keep the gate shut",
            ("2 keep it shut", "2 questions"),
        ),
        (
            gate(0, 0),
            "nothing open: not passed yet",
            "nothing open: not passed yet",
            "nobody has passed the gate yet",
            ("Nothing is open", "It can be passed, by name."),
        ),
    ],
)
def test_a_gate_says_how_it_stands(
    state: GateState[Any], listed: str, before: str, beside: str, headline: tuple[str, str]
) -> None:
    assert (gate_text(state), ahead_text(state), guard_text(state)) == (listed, before, beside)
    assert gate_headline(state) == headline


def test_a_green_gate_says_that_it_is_passed_and_nothing_else() -> None:
    green = gate(0, 0, CLEAN)
    assert (gate_text(green), gate_headline(green)[0], shut_by_text(green)) == ("passed", "Passed", "")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("yes", "Yes"),
        (SKIPPED, "No hoist"),
        ({"measured": "320", "high": "500", "unit": "kg"}, "320 kg of 500"),
        ({"measured": "12", "low": "10", "high": "14", "unit": "mm"}, "12 mm, 10 to 14"),
    ],
)
def test_an_answer_is_said_with_its_numbers_and_limits(value: Any, text: str) -> None:
    question = Question("q", "How much?", skip="No hoist")
    assert answer_text(Asked(question, GateAnswer(value), None)) == text
