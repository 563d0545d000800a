"""Gates in words: what keeps one shut, and what was answered."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from app.core.gates.departures import OWNER, REASON, SECOND
from app.core.gates.gate_state import GateState
from app.core.gates.gates import Asked
from app.core.gates.measured import SKIPPED

NOTHING_OPEN = "nothing open: not passed yet"


WHY_OPEN: Mapping[str, str] = MappingProxyType(
    {
        "joins": "still joins engine and vehicle",
        "ends-unknown": "nobody said what it joins: it may hold engine and vehicle together",
        "planned": "was to come off before the lift",
        "aside-joined": "tied back, but it joins engine and vehicle",
        "aside": "tied back: look whether it is clear of the lift",
        "not-said": "nobody said whose it is: say it on its card",
        "not-placed": "not started by hand yet",
        "finding": "cannot be as it is marked: look at its card",
    }
)
"""Why a line keeps a gate shut, where that is not the line's own state."""
_FIRST: Mapping[str, str] = MappingProxyType(
    {
        "hook_up": "the hook is on",
        "mating": "engine and gearbox are together",
        "lift_in": "the engine is in",
        "landed": "the mounts carry the engine",
        "first_start": "it has started",
        "power_on": "the battery is connected",
        "moved": "it has moved",
    }
)
_LEDGER: Mapping[str, str] = MappingProxyType(
    {
        "temporaries": "Caps, rags and props",
        "fluids": "Fluids",
        "dowels": "Dowels",
        "primed": "Oil pressure",
    }
)
_WHAT: Mapping[str, str] = MappingProxyType(
    {
        "left_out": "is left out",
        "stays_on_old": "stays on the old engine",
        "unused": "is marked as never used",
        "not_critical": "is no longer double-checked",
        "other_kind": "is now recorded as another kind of thing",
    }
)
_ASKED_OF: Mapping[str, str] = MappingProxyType(
    {
        OWNER: "the owner’s yes",
        REASON: "the owner’s reason",
        SECOND: "a second person (alone: another day)",
    }
)


def first_text(word: str) -> str:
    """Return which milestone must have been, such as `the engine is in`."""
    return _FIRST.get(word, word)


def ledger_text(question: str, *, is_yes: bool) -> str:
    """Return what the ledger answers to a question."""
    if question == "gearbox_propped":
        return "Gearbox: its prop is marked in, or it leaves with the engine"
    return f"{_LEDGER[question]}: {'closed in the ledger' if is_yes else 'open in the ledger'}"


def departure_text(what: str) -> str:
    """Return in which way a critical thing does not go back as it came off."""
    return _WHAT[what]


def acceptance_text(missing: Iterable[str]) -> str:
    """Return what is still asked of it; empty where nothing is."""
    return ", ".join(_ASKED_OF[each] for each in missing)


def shut_by_text(gate_state: GateState[Any]) -> str:
    """Return what keeps a gate shut, counted, such as `3 lines, 1 question`; empty where nothing does."""
    look = gate_state.look
    counted = (
        (len(gate_state.lines), "line"),
        (len(gate_state.unanswered), "question"),
        (len(gate_state.denied), "answer of the ledger"),
        (len(gate_state.unread), "torque to confirm"),
        (len(gate_state.unaccepted), "critical thing"),
        (len(look.missing), "act before it"),
        (len(look.disputes) + len(look.untrue), "contradiction"),
    )
    blind = "how the engine comes out is not said" if gate_state.is_blind else ""
    blind = blind or ("a step without its role" if gate_state.needed else "")
    return ", ".join(filter(None, (blind, *(_counted(number, what) for number, what in counted))))


def _counted(number: int, what: str) -> str:
    words = "answers of the ledger" if what == "answer of the ledger" else f"{what}s"
    words = "torques to confirm" if what == "torque to confirm" else words
    words = "acts before it" if what == "act before it" else words
    return f"{number} {what if number == 1 else words}" if number else ""


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
