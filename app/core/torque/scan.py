"""The pieces of a printed torque one after the other: each word with its role, each number with its kind."""

import re
from itertools import pairwise
from typing import NamedTuple

from app.core.numbers import spell_fractions
from app.core.torque.lexicon import PHRASES, ROLES
from app.core.torque.patterns import (
    FLAGS,
    NUMERIC,
    STEP,
    STEP_NAME,
    WORD_WITH_NUMBER,
)
from app.core.torque.turns import TURNS, compound_part
from app.core.torque.units import UNIT

_WORD = re.compile(r"[^\W\d_]+")
_NUMBERED_WORDS = """
    bolt bolts screw screws nut nuts stud studs cap caps capscrew capscrews item items position
    positions location locations place places m no p part tm wp sae increments wait at loctite
    reihenfolge volgorde ordre ordine ordem seite página pagina sida bladzijde pos sequence order fig
    figure figs figures page pages table tables note notes para section key ref qty class grade
"""
_NUMBERED = frozenset(_NUMBERED_WORDS.split())
_WITH_NUMBER = re.compile("|".join(WORD_WITH_NUMBER), FLAGS)
_DIGITS_BEHIND = re.compile(r"[^\W\d_]+\d[\w-]*")
_STEP_AT = re.compile(rf"{STEP}n?s?\s*[.#]?\s*(?!\d+\s*{UNIT}){STEP_NAME}\s*[.:)=]?", FLAGS)
_STEP_WORDS = frozenset(
    word + ending
    for word in STEP[3:-1].replace("pass(?:age)?", "pass|passage").split("|")
    for ending in ("", "n", "s", "ns", "en")
)
_UNIT_AT = re.compile(UNIT, FLAGS)
_UNIT_STARTS_WORDS = """
    n nm newton newtons newtonmeter m mkg mkp mdan cn cnm dan danm ncm ft foot feet ftlb ftlbs lb lbs
    lbf ib ibs pound pounds in inch inches ins inlb kg kgs kgf kgm kgfm kp kpm kilogram kilograms
    kilopond oz ozf ounce ounces cm н кгс
"""
_UNIT_STARTS = frozenset(_UNIT_STARTS_WORDS.split())
_NEXT_WORD = re.compile(r"[\s\-‐'’./]+([^\W\d_]+)")
_SIGN = re.compile(
    r"(?P<hard>;|→|⇒|=>|-+>|>+(?!=)|\+)|(?P<least>≥|>=)|(?P<most>≤|<=)|(?P<same>=)|(?P<range>[-‐‑‒–—−~～∼÷]|\.{2,3}|…)"
)
_SIGNS = {
    "(": "open", "[": "open", "{": "open", ")": "close", "]": "close", "}": "close", "&": "and",
    ",": "comma", "\n": "line", "%": "percent", "|": "bar", "/": "slash",
}  # fmt: skip
_SUFFIXES = (
    "schraube", "schrauben", "mutter", "muttern", "bolzen", "kerze", "kerzen", "bouten", "moeren", "skruv",
    "skruvar", "skruvarna", "bult", "bultar", "muttrar", "muttrarna", "moer", "bout", "schroeven",
)  # fmt: skip
_PART_SUFFIXES = (
    "deckel", "gehäuse", "lager", "pumpe", "pumpen", "welle", "flansch", "halter", "wanne", "scheibe",
    "träger", "filter", "kåpa", "pump", "deksel", "kop", "huis", "steun", "lock", "fäste", "hjul", "wiel",
    "kopf", "rad",
    "ring",
)  # fmt: skip
_SHORTEST_STEM = 3

_THIN_BLANK = re.compile(r"(?<=\d)[\u00a0\u2009\u202f](?=\d{3}(?!\d))")
_CHAIN = re.compile(rf"(?<![\w./-])\d+(\s?[/–-]\s?)\d+(?:\1\d+)+(?=\s?{UNIT})", re.IGNORECASE)
_BULLET = re.compile(r"(?<=[^\d\s])[ \t]*\n[ \t]*[-–•][ \t]+")
_BRACKETED = re.compile(rf"\(\s*(\d[\d.,\s±+/–-]*)\)\s*(?={UNIT})", re.IGNORECASE)
_HYPHENATED = re.compile(r"(?<=[^\W\d_])[-‐]\s*\n\s*(?=[^\W\d_])")
_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)} | {0x3000: 0x20, 0xFF5E: 0x7E}


class Token(NamedTuple):
    """One piece of the text.

    Args:
        kind: What it is, or what the word does: a role of `torque_lexicon`, `unknown` for a word in none.
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


def scan(text: str) -> list[Token]:
    """Return the pieces of a text as `spelled` returns it, brackets and their signs among them."""
    found: list[Token] = []
    at, end = 0, len(text)
    while at < end:
        character = text[at]
        if character == " " or (character != "\n" and character.isspace()):
            at += 1
            continue
        token, at = _next(text, at, character)
        if token is None:
            continue
        if at < end and text[at] in _ENDING:
            if _is_letter_of_a_list(token, found[-1].kind if found else "line"):
                token, at = token._replace(kind="step"), at + 1
            elif token.kind in _SHORTENED and text[at] == ".":
                at += 1
        found.append(token)
        if token.kind == "torque" and token.text[-1] == "." and _SENTENCE.match(text, at):
            found.append(Token("stop", ".", at))
    return found


_ENDING = frozenset(".:)")
_SHORTENED = frozenset({"least", "most", "approx"})
"""What is printed as `min.`, `max.`, `approx.`: the point ends no sentence."""
_SENTENCE = re.compile(r"\s+[^\W\d_a-zäöüéèà]")
LETTERS = re.compile(r"(?:[a-h]|i{1,3}|iv|v|vi{1,3})\Z", re.IGNORECASE)
LEADS = frozenset({"line", "stop", "comma", "hard", "then", "plus", "torque", "angle", "close", "slash"})


def _is_letter_of_a_list(token: Token, before: str) -> bool:
    """`a. 20 N·m b. 40 N·m`, `I: 20 N·m II: 40 N·m`."""
    return before in LEADS and bool(LETTERS.match(token.text))


def _next(text: str, at: int, character: str) -> tuple[Token | None, int]:
    if character.isalpha():
        return _word(text, at)
    if character.isdigit() or character in "-−–#.":
        match = NUMERIC.match(text, at)
        if match and match.lastgroup:
            kind = match.lastgroup
            if kind == "nothing" and match.group().endswith(("rpm", "RPM")):
                kind = "felt"
            return Token(kind, match.group(), at, signed=_has_minus(text, at)), match.end()
    return _sign(text, at, character)


def _sign(text: str, at: int, character: str) -> tuple[Token | None, int]:
    kind = _SIGNS.get(character)
    if kind:
        return Token(kind, character, at), at + 1
    if character in "-‐" and at and text[at - 1].isalpha() and text[at + 1 : at + 2].isalpha():
        return None, at + 1
    sign = _SIGN.match(text, at)
    if sign and sign.lastgroup:
        return Token(sign.lastgroup, sign.group(), at), sign.end()
    if character == "." and text[at + 1 : at + 2] in {"", " ", "\n"}:
        return Token("stop", ".", at), at + 1
    return None, at + 1


def _word(text: str, at: int) -> tuple[Token, int]:
    match = _WORD.match(text, at)
    if match is None:
        return Token("unknown", text[at], at), at + 1
    word, end = match.group(), match.end()
    lower = word.lower()
    if lower in _UNIT_STARTS and (unit := _UNIT_AT.match(text, at)):
        return Token("unit", unit.group(), at), unit.end()
    if lower in _STEP_WORDS:
        step = _STEP_AT.match(text, at)
        if step:
            return Token("step", step.group(), at), step.end()
    if lower in _NUMBERED or text[end : end + 1].isdigit():
        numbered = _WITH_NUMBER.match(text, at) or _DIGITS_BEHIND.match(text, at)
        if numbered:
            kind = "felt" if numbered.group().endswith("rpm") else "nothing"
            return Token(kind, numbered.group(), at), numbered.end()
    phrase = _phrase(text, lower, end)
    if phrase:
        return Token(ROLES[phrase[0]], text[at : phrase[1]], at), phrase[1]
    return Token(ROLES.get(lower) or _by_ending(lower), word, at), end


def _phrase(text: str, first: str, end: int) -> tuple[str, int] | None:
    for parts in PHRASES.get(first, ()):
        at = end
        for part in parts[1:]:
            match = _NEXT_WORD.match(text, at)
            if match is None or match.group(1).lower() != part:
                break
            at = match.end()
        else:
            return "_".join(parts), at
    return None


def _by_ending(word: str) -> str:
    if word.endswith(_SUFFIXES) and len(word) > _SHORTEST_STEM:
        return "fastener"
    if word in TURNS or compound_part(word) is not None:
        return "turns"
    return "part" if word.endswith(_PART_SUFFIXES) and len(word) > 2 * _SHORTEST_STEM else "unknown"


def _has_minus(text: str, at: int) -> bool:
    return at > 0 and text[at - 1] in "-−" and (at == 1 or text[at - 2].isspace()) and text[at].isdigit()


def spelled(text: str) -> str:
    """Return the text as `tokens_of` wants it: fractions and `30/60/85` spelled out, thousands joined.

    Full-width characters become the usual ones.
    """
    joined = text.strip() if text.isascii() else _THIN_BLANK.sub("", text.strip().translate(_FULL_WIDTH))
    joined = _HYPHENATED.sub("", joined) if "\n" in joined else joined
    if "\n" in joined:
        joined = _BULLET.sub("; ", joined)
    if "(" in joined:
        joined = _BRACKETED.sub(_opened, joined)
    fractions = spell_fractions(joined)
    return (
        _CHAIN.sub(_as_list, fractions)
        if "/" in fractions or "-" in fractions or "–" in fractions
        else fractions
    )


def _opened(bracket: re.Match[str]) -> str:
    """`(30 ± 3) N·m`: the figures stand in brackets, their unit behind."""
    return f"{bracket.group(1)} "


def _as_list(chain: re.Match[str]) -> str:
    """Three or more rising numbers in front of a unit are stages; anything else stays as it is."""
    numbers = [int(part) for part in re.findall(r"\d+", chain.group())]
    rising = all(low < high for low, high in pairwise(numbers))
    return ", ".join(map(str, numbers)) if rising else chain.group()
