"""The pieces of a printed torque: values with unit, angles, words that mean something, the rest."""

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from app.core.numbers import NUMBER, NUMBER_START, spell_fractions
from app.core.torque.angles import ANGLE, CELSIUS, DEGREES_AHEAD
from app.core.torque.bands import BAND, RANGE_SIGN, TOLERANCE
from app.core.torque.units import UNIT

_FASTENER = r"(?:bolt|screw|nut|stud|fastener|cap\s?screw|locknut)s?"
_ADJECTIVES = (
    r"(?:(?:head|main|rod|cap|flange|cover|mounting|attaching|retaining|hex|flywheel|large|small|long|short|inner"
    r"|outer|upper|lower|cylinder|bearing|manifold|pan)\s){0,3}"
)
_STEP = r"(?:step|stage|stap|stufe|schritt|phase|pass(?:age)?|étape|etape|paso|fase|steg|round)"
_ORDINAL = r"\d{1,2}(?:st|nd|rd|th|er?|re|ème|[ªº.])"
_STEP_NAME = r"(?:\d{1,2}(?![\d/]|[.,]\d|\s*(?:°|º|deg))|(?:i{1,3}|iv|vi{0,3})\b|[a-h]\b)"
_LABELLED = r"(?:bolt|screw|nut|stud|cap\s?screw|cap|item|position|location|place)s?"
_AND = r"\s*(?:,|&|-|–|\band\b|\bthrough\b|\bthru\b|\bto\b)\s*"
_BEHIND = rf"(?!\+\s?{NUMBER}[-–]{NUMBER}\s*{UNIT}){TOLERANCE}(?:\s*{UNIT})?(?!{DEGREES_AHEAD})"

_BOOK_PLACE = r"(?:fig(?:ure)?s?|items?|pages?|tables?|notes?|para|section|key|ref|wp|qty|class|grade)"
_COUNTED = (
    r"(?:mm|cm|in(?:ch(?:es)?)?\b\.?|[\"”″]|km|miles?|hours?|hrs?|minutes?|psi|bar|kpa|rpm|points?|places?|pcs|pl"
    rf"|each|ea|passes|times|steps|stages|l|litres?|liters?|wd|cc|{_ADJECTIVES}{_FASTENER}|caps?|rqr|req'd|cylinders?|plates?)"
)
_NO_POUND_BEHIND = r"(?!\s?[-./]?\s?(?:lbs?|pounds?|oz)\b)"

_MORE_NUMBERS = rf"[\d/.]|,\d|\s*-?\s*{UNIT}|\s*(?:,|&|-|–|and\b)\s*\d|,?\s*then\b"
_SERIES = r"(?:\s?(?:UN[A-Z]*|NC|NF)|\b)"
_PITCH = rf"\s?-\s?\d{{2}}(?!\d|\s*{UNIT}|[.,]\d){_SERIES}"
_WORD_WITH_NUMBER = (
    # several numbered bolts
    rf"{_LABELLED}\s+\d{{1,2}}(?:(?:{_AND}){{1,2}}\d{{1,2}})+(?!{_MORE_NUMBERS})",
    # a thread, a numbered size
    r"M\d+(?:[.,]\d+)?(?:\s*[x×]\s*\d+(?:[.,]\d+)?){0,2}\b",
    rf"no\.?\s?\d+(?:{_PITCH}|\b)",
    # a number of a part or a book, an oil, a time
    r"(?:p/n|part\s(?:no\.?|number)|tm|wp)\s*:?\s*\d[\d-]{3,}",
    r"sae\s?\d+(?:w(?:[-/]\d+)?)?\b",
    rf"increments\sof\s{NUMBER}\s*{UNIT}",
    r"wait\s\d+\s?(?:min|sec|h)\w*",
    # a name with digits, a number in an order, a place in the book
    r"[a-z]+\d[\w-]*",
    rf"(?:sequence|order)\s+\d+(?:\s*(?:thru|through|to|and|[-–,])\s*\d+)*(?!\d|\s*{UNIT})",
    rf"{_BOOK_PLACE}\.?\s*\d+(?:[-.]\d+)*\b",
)
_NUMBER_OF_SOMETHING = (
    # a number between hyphens
    r"[-–]\s\d{1,2}(?:\s(?:through|thru|and|to)\s\d{1,2})?\s[-–](?=\s*(?:to|in|as|and)\b|,)",
    # a temperature
    rf"[-−]?{NUMBER}\s*(?:(?:to|and|[-–])\s*[-−]?{NUMBER}\s*)?(?:°|º|deg(?:rees?)?\.?){CELSIUS}\b",
    # a thread, an oil
    rf"(?:\b\d+[\s-])?\b\d+/\d+\s?[\"”]?\s?-\s?\d{{1,2}}(?!\d){_SERIES}(?![/.])",
    rf"\#(?:\s?\d{{1,2}}{_PITCH}|\d+\b)",
    rf"\b(?:\d|1[02])-(?:80|72|64|56|48|44|40|36|32|28|24)\b(?=\s*(?:UN|N[CF]|:|x\s|\)|{_FASTENER}))",
    r"(?:\b\d+[\s-])?\b\d+/\d+\s?(?:in\.?|[\"”″])?\s?(?:-\s?\d+\s?)?(?:NPT|BSP|PT)\w?\b",
    r"\b\d+w-?\d+\b|\b\d+\s?(?:wt|weight)\b",
    # a length, a pressure, a distance, a number of things
    rf"{NUMBER_START}(?:\d+/\d+|{NUMBER}(?:\s*[-–]\s*{NUMBER})?)\s*-?\s*{_COUNTED}(?!\w){_NO_POUND_BEHIND}",
)
_KINDS = {
    "torque": rf"{NUMBER_START}{BAND}\s*[-–]?\s*(?:{UNIT}|[(\[]\s*{UNIT}\s*[)\]])(?!\s*increments?\b)"
    rf"(?:\s*(?:{_BEHIND}|\({_BEHIND}\)))?",
    "unit": rf"(?<![^\W_]){UNIT}",
    "step": rf"\b{_ORDINAL}\s?{_STEP}\b\s*[:=]?"
    rf"|\b{_STEP}s?\s*[.#]?\s*(?!\d+\s*{UNIT}){_STEP_NAME}\s*[.:)=]?"
    rf"|\b\d(?:st|nd|rd|th)\b"
    rf"|(?<![^\n])\d{{1,2}}\s*[-–]\s+(?!{UNIT})(?=[^\W\d_]{{3}})"
    r"|\b(?:first|second|third|fourth|final|initial)\s(?:step|stage|pass|torque)\b",
    "angle": ANGLE,
    "nothing": rf"\b(?=[a-z][a-z./:\s]*\d)(?:{'|'.join(_WORD_WITH_NUMBER)})"
    rf"|(?=[-−–\#.\d])(?:{'|'.join(_NUMBER_OF_SOMETHING)})",
    "hard": r";|→|⇒|=>|-+>|\+|\b(?:then|plus|followed\sby|finally|next)\b",
    "loosen": r"\b(?:loosen(?:ed|ing)?|slacken(?:ed)?|back(?:ed)?[\s-]?off|undo|unscrew)\b"
    rf"|\bback\s(?:(?:the|each|all|{_ADJECTIVES}{_FASTENER})\s){{1,3}}off\b",
    "back": r"\b(?:counter|anti)-?\s?clockwise\b",
    "again": r"\b(?:again|repeat|re-?torque|re-?tighten)\b",
    "new": rf"\b(?:new|fresh|replacement)\s+(?:[a-z]+\s+)?{_FASTENER}\b"
    rf"|\b(?:replace|renew)\s+(?:(?:the|all)\s+)*{_FASTENER}\b",
    "snug": r"\bsnug(?:\stight)?\b|\b(?:hand|finger)[\s-]*tight(?:en|ened)?\b",
    "exceed": r"\bexceed(?:s|ed|ing)?\b",
    "check": r"\b(?:driving|turning|rolling|running|rotating|break-?away|prevailing|starting|drag|driven)"
    r"[\s-]+torque\b|\btorque\s(?:required\s)?to\s(?:turn|rotate|drive)\b|\bcapacity\b"
    r"|\b(?:stall|peak|slip)\s+torque\b|\bbearing\s+pre-?load\b|\bat\s\d[\d.,]*\s?rpm\b",
    "least": r"\b(?:min(?:imum)?\b\.?|at\sleast\b|not?\sless\sthan\b|or\s(?:more|above)\b"
    r"|(?:more|greater)\sthan(?=\s?\d))|≥|>=",
    "most": r"\b(?:max(?:imum)?\b\.?|at\smost\b|not?\b[^.;\d]{0,25}?\smore\sthan\b|or\s(?:less|below)\b"
    r"|less\sthan(?=\s?\d)|up\sto(?=\s?\d))|≤|<=",
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

_THIN_BLANK = re.compile(r"(?<=\d)[\u00a0\u2009\u202f](?=\d{3}(?!\d))")
_CHAIN = re.compile(rf"(?<![\w./-])\d+(\s?[/–-]\s?)\d+(?:\1\d+)+(?=\s?{UNIT})", re.IGNORECASE)
_BULLET = re.compile(r"(?<=[^\d\s])[ \t]*\n[ \t]*[-–•][ \t]+")
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
        numbered = any(token.kind in {"number", "label"} for token in kept[opened:])
        said = {"new"} if numbered else {"least", "most", "new"}
        kept[opened:] = [token for token in kept[opened:] if token.kind in said]


def spelled(text: str) -> str:
    """Return the text as `tokens_of` wants it: fractions and `30/60/85` spelled out, thousands joined."""
    joined = text.strip() if text.isascii() else _THIN_BLANK.sub("", text.strip())
    return _CHAIN.sub(_as_list, spell_fractions(_BULLET.sub("; ", joined)))


def _as_list(chain: re.Match[str]) -> str:
    """Three or more rising numbers in front of a unit are stages; anything else stays as it is."""
    numbers = [int(part) for part in re.findall(r"\d+", chain.group())]
    rising = all(low < high for low, high in pairwise(numbers))
    return ", ".join(map(str, numbers)) if rising else chain.group()
