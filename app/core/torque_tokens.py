"""The pieces of a printed torque: values with unit, angles, words that mean something, the rest."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from app.core.printed_bands import BAND, RANGE_SIGN, TOLERANCE
from app.core.printed_numbers import NUMBER, NUMBER_START, spell_fractions
from app.core.torque_angles import ANGLE, DEGREES_AHEAD
from app.core.torque_units import UNIT

_FASTENER = r"(?:bolt|screw|nut|stud|fastener|cap\s?screw|locknut)s?"
_ADJECTIVES = (
    r"(?:(?:head|main|rod|cap|flange|cover|mounting|attaching|retaining|hex|flywheel|large|small|long|short|inner"
    r"|outer|upper|lower|cylinder|bearing|manifold|pan)\s){0,3}"
)
_STEP = r"(?:step|stage|stap|stufe|schritt|phase|pass|étape|etape|paso|fase|steg|round)"
_BEHIND = rf"{TOLERANCE}(?:\s*{UNIT})?(?!{DEGREES_AHEAD})"

_BOOK_PLACE = r"(?:fig(?:ure)?s?|items?|pages?|tables?|notes?|para|section|key|ref|wp|qty|class|grade)"
_COUNTED = (
    r"(?:mm|cm|in(?:ch(?:es)?)?\b\.?|[\"”″]|km|miles?|hours?|hrs?|minutes?|psi|bar|kpa|rpm|points?|places?|pcs|pl"
    rf"|each|ea|passes|times|steps|stages|{_ADJECTIVES}{_FASTENER}|caps?|rqr|req'd|cylinders?|plates?)"
)
_NO_POUND_BEHIND = r"(?!\s?[-./]?\s?(?:lbs?|pounds?|oz)\b)"

_NOT_A_VALUE = (
    # a temperature
    rf"[-−]?{NUMBER}\s*(?:(?:to|and|[-–])\s*[-−]?{NUMBER}\s*)?(?:°|º|deg(?:rees?)?\.?)\s?[CF]\b",
    # a thread
    r"\bM\d+(?:[.,]\d+)?(?:\s*[x×]\s*\d+(?:[.,]\d+)?){0,2}\b",
    r"(?:\b\d+[\s-])?\b\d+/\d+\s?[\"”]?\s?-\s?\d{1,2}\b\s?(?:UN[A-Z]*|NC|NF)?(?![/.])",
    r"(?:\#|\bno\.?\s?)\d+(?:\s?-\s?\d+)?\b",
    # a name with digits, a number in an order
    r"\b[a-z]+\d[\w-]*",
    r"\b(?:sequence|order)\s+\d+(?:\s*(?:thru|through|to|and|[-–,])\s*\d+)*",
    # a place in the book
    rf"\b{_BOOK_PLACE}\.?\s*\d+(?:[-.]\d+)*\b",
    # a length, a pressure, a distance, a number of things
    rf"{NUMBER_START}(?:\d+/\d+|{NUMBER}(?:\s*[-–]\s*{NUMBER})?)\s*-?\s*{_COUNTED}(?!\w){_NO_POUND_BEHIND}",
)
_KINDS = {
    "torque": rf"{NUMBER_START}{BAND}\s*[-–]?\s*{UNIT}(?:\s*(?:{_BEHIND}|\({_BEHIND}\)))?",
    "unit": rf"(?<![^\W_]){UNIT}",
    "angle": ANGLE,
    "step": rf"\b{_STEP}s?\s*[.:#]?\s*(?:\d{{1,2}}(?![\d/]|[.,]\d|\s*{UNIT})|[a-h]\b)\s*[.:)]?"
    rf"|\b\d(?:st|nd|rd|th)\b(?:\s{_STEP})?"
    r"|\b(?:first|second|third|fourth|final|initial)\s(?:step|stage|pass|torque)\b",
    "nothing": "|".join(_NOT_A_VALUE),
    "hard": r";|→|⇒|=>|-+>|\+|\b(?:then|plus|followed\sby|finally|next)\b",
    "loosen": r"\b(?:loosen|slacken|back[\s-]?off|undo|unscrew)\b",
    "again": r"\b(?:again|repeat|re-?torque|re-?tighten)\b",
    "new": rf"\b(?:new|fresh|replacement)\s+(?:[a-z]+\s+)?{_FASTENER}\b"
    rf"|\b(?:replace|renew)\s+(?:(?:the|all)\s+)*{_FASTENER}\b",
    "snug": r"\bsnug(?:\stight)?\b|\b(?:hand|finger)[\s-]*tight(?:en|ened)?\b",
    "exceed": r"\bexceed(?:s|ed|ing)?\b",
    "check": r"\b(?:driving|turning|rolling|running|rotating|break-?away|prevailing|starting|drag|driven)"
    r"[\s-]+torque\b|\btorque\s(?:required\s)?to\s(?:turn|rotate|drive)\b|\bcapacity\b",
    "least": r"\b(?:min(?:imum)?\b\.?|at\sleast\b|not\sless\sthan\b)",
    "most": r"\b(?:max(?:imum)?\b\.?|at\smost\b|not?\smore\sthan\b)",
    "open": r"[(\[{]",
    "close": r"[)\]}]",
    "between": r"\bbetween\b",
    "and": r"&|\band\b|\bund\b",
    "same": r"=|\bor\b|\boder\b",
    "comma": r",",
    "range": RANGE_SIGN,
    "label": rf"{NUMBER_START}\d{{1,2}}(?:\s?:|\.(?=\s+\S))",
    "number": rf"{NUMBER_START}{NUMBER}|\d+",
    "word": r"[^\W\d_]+",
}
_TOKEN = re.compile(
    r"\s*(?:" + "|".join(f"(?P<{kind}>{pattern})" for kind, pattern in _KINDS.items()) + ")", re.IGNORECASE
)


_MOST_STAGES = 12


class Token(NamedTuple):
    """One piece of the text.

    Args:
        kind: What it is: a key of the table of kinds in this module.
        text: The piece itself.
        at: Where it starts in the text with fractions spelled out, [characters].
        inside: Whether it stands in brackets.
        signed: Whether a minus stands directly before it, with a blank or nothing before that.
    """

    kind: str
    text: str
    at: int
    inside: bool = False
    signed: bool = False


def tokens_of(text: str) -> list[Token]:
    """Return the pieces of a printed torque without callouts: brackets that hold no value, no angle, no unit.

    Args:
        text: The text with fraction characters spelled out.
    """
    found = [
        Token(kind, match[kind], at := match.start(kind), signed=_has_minus(text, at))
        for match in _TOKEN.finditer(text)
        if (kind := match.lastgroup)
    ]
    return _without_callouts(found)


def _has_minus(text: str, at: int) -> bool:
    return at > 0 and text[at - 1] in "-−" and (at == 1 or text[at - 2].isspace()) and text[at].isdigit()


def _without_callouts(tokens: list[Token]) -> list[Token]:
    kept: list[Token] = []
    opened: int | None = None
    for token in tokens:
        if token.kind == "open":
            opened = len(kept)
            kept.append(token)
        elif token.kind == "close":
            _close(kept, opened)
            opened = None
        else:
            kept.append(token if opened is None else _inside(token))
    return [token for token in kept if token.kind != "open"]


def is_list_label(tokens: Sequence[Token], index: int) -> bool:
    """Whether a label such as `1.` or `2:` numbers a stage; `25.` at the end of a sentence does not."""
    if not tokens[index].text.endswith("."):
        return True
    before = tokens[index - 1].kind if index else "hard"
    small = int(tokens[index].text.rstrip(" .")) <= _MOST_STAGES
    return small and before in {"torque", "angle", "hard", "comma"} and _kind_at(tokens, index + 1) != "hard"


def _kind_at(tokens: Sequence[Token], index: int) -> str:
    return tokens[index].kind if index < len(tokens) else ""


def _inside(token: Token) -> Token:
    """A semicolon in brackets parts columns, not stages."""
    return token._replace(inside=True, kind="comma" if token.text == ";" else token.kind)


def _close(kept: list[Token], opened: int | None) -> None:
    """Drop what the bracket held if it says no value; `1)` without an opening bracket is a label."""
    if opened is None:
        if kept and kept[-1].kind == "number":
            kept.pop()
    elif not any(token.kind in {"torque", "angle", "unit"} for token in kept[opened:]):
        kept[opened:] = [token for token in kept[opened:] if token.kind in {"least", "most"}]


def spelled(text: str) -> str:
    """Return the text as `tokens_of` wants it."""
    return spell_fractions(text.strip())
