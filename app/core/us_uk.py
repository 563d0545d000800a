"""US and UK words: what is shown is switched, what is stored stays."""

import re
from collections.abc import Iterable
from functools import cache
from typing import Literal

Dialect = Literal["us", "uk"]
Pairs = tuple[tuple[str, str], ...]


def to_dialect(text: str, dialect: Dialect, pairs: Iterable[tuple[str, str]]) -> str:
    """Return the text in the words of one side.

    Whole words only; case (lower, Capital, ALL CAPITALS) and plural are kept. The longest phrase wins,
    and a pair alike on both sides keeps its phrase from being switched.

    Args:
        text: What was stored, in either side's words.
        dialect: The side to speak.
        pairs: The table, US word first, in the singular; each word stands once on its side.
    """
    pattern, switched = _table(tuple(pairs), dialect)
    return pattern.sub(lambda found: _cased(found[0], switched[found[0].lower()]), text)


@cache
def _table(pairs: Pairs, dialect: Dialect) -> tuple[re.Pattern[str], dict[str, str]]:
    switched: dict[str, str] = {}
    for us, uk in pairs:
        spoken, other = (us, uk) if dialect == "us" else (uk, us)
        switched |= {other.lower(): spoken, _plural(other).lower(): _plural(spoken)}
    longest_first = sorted(switched, key=lambda word: (-len(word), word))
    either = "|".join(re.escape(word) for word in longest_first)
    # A hyphen before a word may be the middle of a tag's code, which is never a word.
    return re.compile(rf"(?<![\w-])(?:{either or '(?!)'})(?!\w)", re.IGNORECASE), switched


def _plural(word: str) -> str:
    return word + ("es" if word.endswith(("s", "x", "ch", "sh")) else "s")


def _cased(was: str, word: str) -> str:
    if was.isupper():
        return word.upper()
    return word[0].upper() + word[1:] if was[0].isupper() else word
