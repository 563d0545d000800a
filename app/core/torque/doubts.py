"""What a person confirms once about a reading: the sentences beside *read as*; none for a plain form."""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from app.core.torque.tokens import Token
from app.core.torque.values import Limit, Stage, StageKind

_SLASHED = re.compile(r"[\d.,]+\s*/\s*\d")
_NAMES_ONE = re.compile(r"[^\W\d_]{2,}|#")
_FOOTNOTE = re.compile(r"(?:(?<=[^\W\d_])|(?<=°))\s?\.?\s?(\*+|[†‡§¹²³⁴-⁹]+|\(\d\)(?=\s*$)|\d\)(?=\s*$))")
_MARKS = frozenset("*†‡§¹²³⁴⁵⁶⁷⁸⁹")
_BARE_LABEL = re.compile(r"\(?(?:[A-Za-z]|\d{1,2})\s*[.:)]?")
_PARTED_BY_WORDS = frozenset({"then", "hard", "plus", "again", "loosen", "tighten", "turn", "further"})
_JOINERS = frozenset({"then", "hard", "plus", "step", "and", "again", "loosen", "turn", "further", "tighten"})
_PASSED_OVER = frozenset({"callout", "number", "label"})


def looks_again(tokens: Sequence[Token]) -> bool:
    """Tell whether the print asks for another look later."""
    return any(token.kind == "later" or token.text.lower() == "later" for token in tokens)


def doubts_of(
    text: str,
    tokens: Sequence[Token],
    stages: Sequence[Stage],
    unknown: Sequence[str],
    conditions: Sequence[str],
    *,
    recheck: bool,
) -> tuple[str, ...]:
    """Return why a person is to confirm a reading, a sentence each; empty for a plain form."""
    return (
        *_of_words(unknown, conditions, recheck=recheck),
        *_stage_doubts(stages),
        *_of_tokens(tokens),
        *_of_marks(text),
        *_of_joints(tokens, stages),
    )


def _of_words(unknown: Sequence[str], conditions: Sequence[str], *, recheck: bool) -> Iterator[str]:
    if unknown:
        yield f"Not understood and passed over: {', '.join(f'“{word}”' for word in unknown)}."
    if conditions:
        yield f"It holds for: {', '.join(conditions)}."
    if recheck:
        yield "The print asks for another look later."


def _of_tokens(tokens: Sequence[Token]) -> Iterator[str]:
    kinds = {token.kind for token in tokens}
    if kinds & _PASSED_OVER:
        passed = ", ".join(token.text for token in tokens if token.kind in _PASSED_OVER)
        yield f"Numbers that name something were passed over: {passed}."
    if "nothing" in kinds and (
        named := [t.text for t in tokens if t.kind == "nothing" and _NAMES_ONE.match(t.text)]
    ):
        yield f"It may hold for these only: {', '.join(named)}."
    if kinds & _CHANGING:
        words = ", ".join(f"“{token.text}”" for token in tokens if token.kind in _CHANGING)
        yield f"Words that can change it: {words}."


def _of_marks(text: str) -> Iterator[str]:
    end = text.rstrip()[-2:]
    ends_so = end[-1:] == ")" and end[:1].isdigit()
    if (ends_so or not _MARKS.isdisjoint(text)) and (marks := _FOOTNOTE.findall(text)):
        yield f"A mark of a footnote was passed over: {', '.join(marks)}."


def _of_joints(tokens: Sequence[Token], stages: Sequence[Stage]) -> Iterator[str]:
    if len(stages) > 1 and _labelled_barely(tokens):
        yield "Letters or numbers alone may count stages or name places: are they stages of one bolt?"
    if any("/" in t.text and t.kind == "torque" and _SLASHED.match(t.text) for t in tokens):
        yield "A slash between two numbers is read as a range."
    if len(stages) > 1 and _listed_without_a_joiner(tokens, stages):
        yield "Several values with no “then” between: are they stages of one bolt?"


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
    if kinds and kinds <= {StageKind.LOOSEN, StageKind.NEW_BOLT} and StageKind.LOOSEN in kinds:
        found.append("Only a loosening was read, and nothing that is tightened before it.")
    return found


def _labelled_barely(tokens: Sequence[Token]) -> bool:
    """Tell whether nothing but bare letters or numbers parts two torques."""
    torques = [at for at, token in enumerate(tokens) if token.kind == "torque" and not token.inside]
    gaps = [tokens[one + 1 : other] for one, other in pairwise(torques)]
    return any(
        any(token.kind == "step" and _BARE_LABEL.fullmatch(token.text.strip()) for token in gap)
        and not any(token.kind in _PARTED_BY_WORDS for token in gap)
        for gap in gaps
    )


_CHANGING = frozenset({"or", "same", "while", "measured", "seating", "variant", "aside", "noted"})


def _listed_without_a_joiner(tokens: Sequence[Token], stages: Sequence[Stage]) -> bool:
    values = sum(1 for stage in stages if stage.kind in {StageKind.TORQUE, StageKind.ANGLE})
    joiners = sum(1 for token in tokens if token.kind in _JOINERS)
    return values > 1 and joiners < values - 1
