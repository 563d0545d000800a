"""Values for two thread conditions or for two fasteners in one text: not two stages of one."""

import re
from collections.abc import Sequence

from app.core.torque.tokens import Token

_OPPOSITES = (
    frozenset({"long", "short", "longer", "shorter"}),
    frozenset({"inner", "outer"}),
    frozenset({"upper", "lower"}),
    frozenset({"intake", "exhaust", "inlet"}),
    frozenset({"small", "large"}),
)
_WET = frozenset({"oiled", "wet", "lubricated", "lubed", "greased"})
_THREAD = re.compile(r"m\d+(?:[.,]\d+)?|\d+/\d+(?=\s?-\s?\d)", re.IGNORECASE)
_INCHES = re.compile(r"\d+/\d+")
_NUMBERED = re.compile(r"(?:bolt|nut|screw|stud|cap)s?\Z", re.IGNORECASE)


def two_conditions(tokens: Sequence[Token]) -> bool:
    """Return whether a text speaks of dry threads and of oiled ones."""
    words = {token.text.lower() for token in tokens if token.kind == "word"}
    return "dry" in words and bool(words & _WET)


def two_fasteners(tokens: Sequence[Token]) -> bool:
    """Return whether a second fastener is named between two torques: `M8: 25 N·m, M10: 49 N·m`."""
    named: dict[str, str] = {}
    torques = 0
    for index, token in enumerate(tokens):
        if token.kind == "torque" and not token.inside:
            torques += 1
            continue
        for group, name in _names(tokens, index):
            if named.setdefault(group, name) != name and torques and _has_torque(tokens[index:]):
                return True
    return False


def _has_torque(tokens: Sequence[Token]) -> bool:
    return any(token.kind == "torque" and not token.inside for token in tokens)


def _text_at(tokens: Sequence[Token], index: int) -> str:
    return tokens[index].text if index < len(tokens) else ""


def _names(tokens: Sequence[Token], index: int) -> list[tuple[str, str]]:
    """What a piece names, and in which group of names: sizes, numbers, opposite words."""
    token = tokens[index]
    if token.kind == "nothing":
        size = _THREAD.match(token.text) or (
            _INCHES.match(token.text) if _NUMBERED.match(_text_at(tokens, index + 1)) else None
        )
        return [("size", size.group().lower())] if size else []
    behind_a_name = index > 0 and _NUMBERED.match(tokens[index - 1].text)
    if token.kind in {"number", "label"} and behind_a_name:
        return [("number", token.text.rstrip(" .:"))]
    if token.text.isalpha() and len(token.text) == 1 and behind_a_name:
        return [("letter", token.text.lower())]
    word = token.text.lower() if token.kind == "word" else ""
    return [(min(pair), word) for pair in _OPPOSITES if word in pair]
