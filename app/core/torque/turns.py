"""Parts of a turn in words, in eight languages: `one twelfth of a turn`, `Viertelumdrehung`, `media vuelta`.

A fraction word in front of a turn multiplies it; a turn whose fraction was not read is never a whole one.
"""

from collections.abc import Sequence
from decimal import Decimal

from app.core.numbers import fraction_value

COUNTS: dict[str, int] = {
    word: number
    for number, words in {
        1: "a an one ein eine einen einer un une una uno een um uma en ett another full complete ganze volle",
        2: "two zwei deux dos due twee dois duas två",
        3: "three drei trois tres tre drie três",
        4: "four vier quatre cuatro quattro quatro fyra",
        5: "five fünf cinq cinco cinque vijf fem",
        6: "six sechs seis sei zes sex",
    }.items()
    for word in words.split()
}
PARTS: dict[str, int] = {
    word: number
    for number, words in {
        2: "half halves halbe halben halber demi demie media medio mezzo mezza halve meia meio halvt halv",
        3: "third thirds drittel tiers tercio tercios terzo terzi derde terço terços tredjedels tredjedel",
        4: "quarter quarters fourth viertel quart quarts cuarto cuartos quarto quarti quartos kwart kvarts",
        5: "fifth fifths fünftel cinquième quinto vijfde",
        6: "sixth sixths sechstel sixième sexto sesto zesde sjättedels sjättedel",
        8: "eighth eighths achtel huitième octavo ottavo achtste oitavo åttondels åttondel",
        10: "tenth tenths zehntel",
        12: "twelfth twelfths zwölftel douzième",
        16: "sixteenth sixteenths sechzehntel seizième",
    }.items()
    for word in words.split()
}
_TURNS_WORDS = """
    turn turns revolution revolutions rev revs rotation rotations umdrehung umdrehungen drehung
    drehungen tour tours vuelta vueltas giro giri slag slagen omwenteling omwentelingen toer volta
    voltas varv
"""
TURNS = frozenset(_TURNS_WORDS.split())
_BETWEEN_WORDS = """
    of a an the full complete additional more further another extra weitere weiteren ganze volle hele de
    d di un une una uno een um uma en ett completa completo entero entera complet helt helt heel hel
    pleine entier intero intera inteira inteiro supplémentaire ulteriore adicional single
"""
BETWEEN = frozenset(_BETWEEN_WORDS.split())
"""Words that may stand between a fraction and its turn."""
_WHOLE = frozenset({"full", "complete", "another", "ganze", "volle"})
_AND = frozenset({"and", "und", "et", "y", "e", "en", "och"})
_OF = frozenset({"of", "de", "d", "di", "van"})
_TURN_DEGREES = Decimal(360)


def compound_part(word: str) -> int | None:
    """Return the part of a compound such as `viertelumdrehung`, `kwartslag`; `None` if it is none."""
    for part, parts in PARTS.items():
        if word.startswith(part) and word[len(part) :] in TURNS:
            return parts
    return None


def turn_in_text(words: Sequence[str]) -> tuple[int, Decimal] | None:
    """Return how many of the last words say a turn, and how far it goes, [°].

    Args:
        words: Lower case; the last is a turn or a compound of one.

    Returns:
        The number of words and the degrees, or `None` where no count and no fraction was read before it.
    """
    parts = compound_part(words[-1])
    at = len(words) - 2
    if parts is None:
        at = _before_filling(words, at)
        if at >= 0 and words[at] in PARTS:
            parts, at = PARTS[words[at]], at - 1
        elif at >= 0 and words[at] in COUNTS:
            return len(words) - at, COUNTS[words[at]] * _TURN_DEGREES
        elif at + 1 < len(words) - 1 and words[at + 1] in COUNTS:
            return len(words) - at - 1, COUNTS[words[at + 1]] * _TURN_DEGREES
        else:
            return None
    return _with_fraction(words, at, parts)


def _with_fraction(words: Sequence[str], at: int, parts: int) -> tuple[int, Decimal]:
    """Read what stands before a fraction: `one and a half`, `three quarters`, nothing."""
    share = fraction_value(1, parts)
    article = at if at >= 0 and words[at] in COUNTS else at + 1
    if article > 1 and words[article - 1] in _AND and words[article - 2] in COUNTS:
        return len(words) - article + 2, (COUNTS[words[article - 2]] + share) * _TURN_DEGREES
    if at >= 0 and words[at] in COUNTS and words[at] not in _WHOLE:
        return len(words) - at, _rounded(fraction_value(COUNTS[words[at]], parts))
    return len(words) - at - 1, _rounded(share)


def _before_filling(words: Sequence[str], at: int) -> int:
    """Step back over filling words; an article counts unless it stands behind `of` or a fraction."""
    while at >= 0 and words[at] in BETWEEN:
        counts = words[at] in COUNTS and words[at] not in _WHOLE
        if counts and not (at and (words[at - 1] in _OF or words[at - 1] in PARTS)):
            break
        at -= 1
    return at


def _rounded(share: Decimal) -> Decimal:
    degrees = share * _TURN_DEGREES
    whole = degrees.to_integral_value()
    return whole if abs(degrees - whole) < Decimal("1e-9") else degrees.normalize()
