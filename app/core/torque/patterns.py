"""Regular expressions for the numbers of a printed torque: values, angles, steps, and other numbers."""

import re

from app.core.numbers import NUMBER, NUMBER_START
from app.core.torque.angles import ANGLE, CELSIUS, DEGREES_AHEAD
from app.core.torque.bands import BAND, TOLERANCE
from app.core.torque.units import UNIT

_FASTENER = r"(?:bolt|screw|nut|stud|fastener|cap\s?screw|locknut)s?"
_ADJECTIVES = (
    r"(?:(?:head|main|rod|cap|flange|cover|mounting|attaching|retaining|hex|flywheel|large|small|long|short|inner"
    r"|outer|upper|lower|cylinder|bearing|manifold|pan)\s){0,3}"
)
STEP = (
    r"(?:step|stage|stap|stufe|schritt|phase|pass(?:age)?|étape|etape|etapa|paso|passo|fase|steg|round|passe|fas"
    r"|omgång|estágio|trap|ronde)"
)
_ORDINAL = r"(?:\d{1,2}(?:st|nd|rd|th|er?|re|ère|ème|ste|de|[ªº.]|:a|\.[ºª])|\d[°ao])"
STEP_NAME = r"(?:\d{1,2}(?![\d/]|[.,]\d|\s*(?:°|º|deg|grad))|(?:i{1,3}|iv|vi{0,3})\b|[a-h]\b)"
_LABELLED = r"(?:bolt|screw|nut|stud|cap\s?screw|cap|item|position|location|place)s?"
_AND = r"\s*(?:,|&|-|–|\band\b|\bthrough\b|\bthru\b|\bto\b)\s*"
_BEHIND = rf"(?!\+\s?{NUMBER}[-–]{NUMBER}\s*{UNIT}){TOLERANCE}(?:\s*{UNIT})?(?!{DEGREES_AHEAD})"

_BOOK_PLACE = (
    r"(?:fig(?:ure)?s?|items?|pages?|seite|página|pagina|sida|bladzijde|pos|tables?|notes?|para|section|key|ref|wp|qty"
    r"|class|grade)"
)
_COUNTED = (
    r"(?:mm|cm|in(?:ch(?:es)?)?\b\.?|[\"”″]|km|miles?|hours?|hrs?|minutes?|psi|bar|kpa|rpm|points?|places?|pcs|pl"
    rf"|each|ea|passes|times|steps|stages|l|litres?|liters?|wd|cc|{_ADJECTIVES}{_FASTENER}|caps?|rqr|req'd|cylinders?|plates?)"
)
_NO_POUND_BEHIND = r"(?!\s?[-./]?\s?(?:lbs?|pounds?|oz)\b)"
_MORE_NUMBERS = rf"[\d/.]|,\d|\s*-?\s*{UNIT}|\s*(?:,|&|-|–|and\b)\s*\d|,?\s*then\b"
_SERIES = r"(?:\s?(?:UN[A-Z]*|NC|NF)|\b)"
_PITCH = rf"\s?-\s?\d{{2}}(?!\d|\s*{UNIT}|[.,]\d){_SERIES}"
WORD_WITH_NUMBER = (
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
    r"at\s\d[\d.,]*\s?rpm\b",
    r"loctite\s*\d{2,4}",
    # a name with digits, a number in an order, a place in the book
    rf"(?:sequence|order|reihenfolge|volgorde|ordre|ordine|ordem)\s+\d+(?:\s*(?:thru|through|to|and|bis|tot|à|a|[-–,])\s*\d+)*(?!\d|\s*{UNIT})",
    rf"{_BOOK_PLACE}\.?\s*\d+(?:[-.]\d+)*\b",
)
_NUMBER_OF_SOMETHING = (
    # a number between hyphens
    r"[-–]\s\d{1,2}(?:\s(?:through|thru|and|to)\s\d{1,2})?\s[-–](?=\s*(?:to|in|as|and)\b|,)",
    # a temperature
    rf"[-−]?{NUMBER}\s*(?:(?:to|and|[-–])\s*[-−]?{NUMBER}\s*)?(?:°|º|deg(?:rees?)?\.?){CELSIUS}\b",
    # a thread, an oil
    rf"(?:\b\d+[\s-])?\b\d+/\d+\s?[\"”]?\s?-\s?\d{{1,2}}(?!\d){_SERIES}(?!/|\.\d)",
    rf"\#(?:\s?\d{{1,2}}{_PITCH}|\d+\b)",
    rf"\b(?:\d|1[02])-(?:80|72|64|56|48|44|40|36|32|28|24)\b(?=\s*(?:UN|N[CF]|:|x\s|\)|{_FASTENER}))",
    rf"\b\d{{1,2}}\s?[-x×]\s?(?:[01][.,]\d{{1,2}}|2[.,][05]0?|3[.,][05])(?=\s*(?::|mm\b|x\s|{_FASTENER}\b))",
    r"(?:\b\d+[\s-])?\b\d+/\d+\s?(?:in\.?|[\"”″])?\s?(?:-\s?\d+\s?)?(?:NPT|BSP|PT)\w?\b",
    r"\b\d+w-?\d+\b|\b\d+\s?(?:wt|weight)\b",
    # a length, a pressure, a distance, a number of things
    rf"{NUMBER_START}(?:\d+/\d+|{NUMBER}(?:\s*[-–]\s*{NUMBER})?)\s*-?\s*{_COUNTED}(?!\w){_NO_POUND_BEHIND}",
)
_UNIT_IN_BRACKETS = rf"[(\[]\s*{UNIT}\s*[)\]]"
FLAGS = re.IGNORECASE
NUMERIC = re.compile(
    "|".join(
        f"(?P<{kind}>{pattern})"
        for kind, pattern in {
            "torque": rf"{NUMBER_START}{BAND}(?:[-–]|\s*)(?:{UNIT}|{_UNIT_IN_BRACKETS})(?!\s*increments?\b)"
            rf"(?:\s*(?:{_BEHIND}|\({_BEHIND}\)))?",
            "step": rf"\b{_ORDINAL}\s?{STEP}n?s?\b\s*[:=]?|\b\d(?:st|nd|rd|th)\b"
            rf"|(?<![^\n])\d{{1,2}}\s*[-–]\s+(?!{UNIT})(?=[^\W\d_]{{3}})",
            "angle": ANGLE,
            "nothing": "|".join(_NUMBER_OF_SOMETHING),
            "label": rf"{NUMBER_START}\d{{1,2}}(?:\s?:|\.(?=\s+\S))",
            "number": rf"{NUMBER_START}{NUMBER}|\d+",
        }.items()
    ),
    FLAGS,
)
