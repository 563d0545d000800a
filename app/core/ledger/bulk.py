"""Marking the rest of a zone: one line each, the next rung only, and never for what is critical."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic

from app.core.items.items import Connection
from app.core.items.kinds import Act, Kind
from app.core.ledger.ledger import L, LedgerLine, next_act

REFUSED = {
    "critical": "critical: each by itself, with its second look",
    "disagree": "two people say different things: settle it first",
    "aside": "aside or loose: look at it by itself",
    "value": "its value is asked: tighten it on its card",
    "halves": "both halves are read: on its card",
    "decision": "it wants a decision in words",
    "done": "its work is done; what is open stands on its card",
    "destiny": "undecided, or it does not go back",
}


@dataclass(frozen=True, slots=True)
class Choice(Generic[L]):
    """What a bulk mark would write about one line: an act, or why none."""

    line: L
    act: Act | None
    refused: str = ""


def choices(lines: Iterable[L]) -> tuple[Choice[L], ...]:
    """Return for each open line what a bulk mark would write, those that can be marked first."""
    found = [_choice(line) for line in lines if line.reasons]
    return tuple(sorted(found, key=lambda each: (each.act is None, each.line.item.number)))


def _choice(line: L) -> Choice[L]:
    act = next_act(line.item, line.state)
    refused = _why_not(line, act)
    return Choice(line, None if refused else act, refused)


def _why_not(line: LedgerLine, act: Act | None) -> str:
    item, state = line.item, line.state
    wrong = {
        "critical": item.critical,
        "disagree": any(p.disagree for p in state.positions) or state.destiny.disagree or bool(state.pending),
        "destiny": state.destiny.value not in {"refit", "transfer"},
        "aside": any(p.act in {Act.ASIDE, Act.LOOSENED, Act.ALREADY_OFF} for p in state.positions),
        "done": act is None or act is Act.CHECKED,
        "value": item.kind is Kind.FASTENER and act in {Act.STAGE, Act.TIGHT},
        "halves": act is Act.LATCHED and isinstance(item.detail, Connection) and item.detail.both_halves,
        "decision": item.kind is Kind.FINDING,
    }
    return next((key for key, is_wrong in wrong.items() if is_wrong), "")
