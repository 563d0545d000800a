"""What a person confirms once about a reading: the sentences beside *read as*; none for a plain form."""

import re
from collections.abc import Sequence

from app.core.torque.tokens import Token
from app.core.torque.values import Limit, Stage, StageKind

_SLASHED = re.compile(r"[\d.,]+\s*/\s*\d")
_NAMES_ONE = re.compile(r"[^\W\d_]{2,}|#")
_JOINERS = frozenset({"then", "hard", "plus", "step", "and", "again", "loosen", "turn", "further", "tighten"})
_PASSED_OVER = frozenset({"callout", "number", "label"})


def looks_again(tokens: Sequence[Token]) -> bool:
    """Tell whether the print asks for another look later."""
    return any(token.kind == "later" or token.text.lower() == "later" for token in tokens)


def doubts_of(
    tokens: Sequence[Token],
    stages: Sequence[Stage],
    unknown: Sequence[str],
    conditions: Sequence[str],
    *,
    recheck: bool,
) -> tuple[str, ...]:
    """Return why a person is to confirm a reading, a sentence each; empty for a plain form."""
    found = []
    if unknown:
        found.append(f"Not understood and passed over: {', '.join(f'“{word}”' for word in unknown)}.")
    if conditions:
        found.append(f"It holds for: {', '.join(conditions)}.")
    if recheck:
        found.append("The print asks for another look later.")
    found += _stage_doubts(stages)
    kinds = {token.kind for token in tokens}
    if kinds & _PASSED_OVER:
        passed = ", ".join(token.text for token in tokens if token.kind in _PASSED_OVER)
        found.append(f"Numbers that name something were passed over: {passed}.")
    named = (
        [t.text for t in tokens if t.kind == "nothing" and _NAMES_ONE.match(t.text)]
        if "nothing" in kinds
        else []
    )
    if named:
        found.append(f"It may hold for these only: {', '.join(named)}.")
    if kinds & _CHANGING:
        words = ", ".join(f"“{token.text}”" for token in tokens if token.kind in _CHANGING)
        found.append(f"Words that can change it: {words}.")
    if any("/" in t.text and t.kind == "torque" and _SLASHED.match(t.text) for t in tokens):
        found.append("A slash between two numbers is read as a range.")
    if len(stages) > 1 and _listed_without_a_joiner(tokens, stages):
        found.append("Several values with no “then” between: are they stages of one bolt?")
    return tuple(found)


def _stage_doubts(stages: Sequence[Stage]) -> list[str]:
    found = []
    limits, kinds = {stage.limit for stage in stages}, {stage.kind for stage in stages}
    if Limit.LEAST in limits:
        found.append("It is a least value, not one to aim at.")
    if Limit.MOST in limits:
        found.append("It is a most value, not one to aim at.")
    if True in {stage.check for stage in stages}:
        found.append("It is felt or measured, not tightened to.")
    if not kinds.isdisjoint({StageKind.AGAIN, StageKind.NEW_BOLT}):
        found.append("More than tightening is asked for.")
    return found


_CHANGING = frozenset({"or", "same", "while", "measured", "seating", "variant", "aside"})


def _listed_without_a_joiner(tokens: Sequence[Token], stages: Sequence[Stage]) -> bool:
    values = sum(1 for stage in stages if stage.kind in {StageKind.TORQUE, StageKind.ANGLE})
    joiners = sum(1 for token in tokens if token.kind in _JOINERS)
    return values > 1 and joiners < values - 1
