"""Gates in words: what keeps one shut, and what was answered."""

from collections.abc import Mapping
from typing import Any

from app.core.gates.gates import Asked, GateState
from app.core.gates.measured import SKIPPED

NOTHING_OPEN = "nothing open: not passed yet"


def shut_by_text(gate_state: GateState[Any]) -> str:
    """Return what keeps a gate shut, counted, such as `3 lines, 1 question`; empty where nothing does."""
    lines, questions = len(gate_state.lines), len(gate_state.unanswered)
    blind = "a step without its role" if gate_state.is_blind else ""
    return ", ".join(filter(None, (blind, _counted(lines, "line"), _counted(questions, "question"))))


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}" if number else ""


def gate_text(gate_state: GateState[Any]) -> str:
    """Return how a gate stands, for the list of gates."""
    if gate_state.is_green:
        return "passed"
    if not gate_state.count:
        return NOTHING_OPEN
    passed = " · passed all the same" if _is_passed_open(gate_state) else " again since it was passed"
    return f"{shut_by_text(gate_state)} open{passed if gate_state.is_passed else ''}"


def ahead_text(gate_state: GateState[Any]) -> str:
    """Return how the next gate stands, for the pages before it."""
    if not gate_state.count:
        return NOTHING_OPEN
    shut_by = shut_by_text(gate_state)
    return f"passed, {shut_by} open" if gate_state.is_passed else f"{shut_by} {_keep(gate_state)} it shut"


def guard_text(gate_state: GateState[Any]) -> str:
    """Return how a gate that is not green stands, beside the act that it guards."""
    shut = f"{gate_state.count} {_keep(gate_state)} the gate shut"
    return shut if gate_state.count else "nobody has passed the gate yet"


def gate_headline(gate_state: GateState[Any]) -> tuple[str, str]:
    """Return how a gate stands, for its own page: what is said large, and what follows it."""
    if gate_state.is_green:
        return "Passed", "Nothing has opened since."
    if not gate_state.count:
        return "Nothing is open", "It can be passed, by name."
    since = gate_state.is_passed and not _is_passed_open(gate_state)
    large = "open since it was passed" if since else f"{_keep(gate_state)} it shut"
    return f"{gate_state.count} {large}", shut_by_text(gate_state)


def _keep(gate_state: GateState[Any]) -> str:
    return "keeps" if gate_state.count == 1 else "keep"


def _is_passed_open(gate_state: GateState[Any]) -> bool:
    return bool(gate_state.facts.passes) and bool(gate_state.facts.passes[-1].open)


def answer_text(asked: Asked) -> str:
    """Return what was answered: the numbers with their unit and limits, that it does not apply, or yes."""
    value = asked.answer.value if asked.answer else None
    if value == SKIPPED:
        return asked.question.skip
    if not isinstance(value, Mapping):
        return "Yes"
    limits = f", {value['low']} to {value['high']}" if value.get("low") else f" of {value.get('high', '')}"
    return f"{value.get('measured', '')} {value.get('unit', '')}{limits}"
