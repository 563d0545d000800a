"""Both halves of a connection: the code read on the other half says whether the right things meet."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from app.core.items.items import Connection, Item
from app.core.problem import Problem
from app.core.tags import read_typed, shown

_HALF = re.compile(r"[\s/\-]([A-D])\s*$|^[^/]{7,8}([A-D])$")


@dataclass(frozen=True, slots=True)
class Half:
    """What was read on a half: the code, and the half's letter where it was read too."""

    code: str
    letter: str = ""


def read_half(text: str) -> Half | Problem:
    """Return what a person typed or scanned: `7K3-F9QQ`, `7K3F9QQ/B`, `7k3 f9qq b` or a tag's address."""
    code = read_typed(text)
    if isinstance(code, Problem):
        return Problem(code.code, code.message, "via")
    found = _HALF.search(text.strip().upper())
    letter = (found[1] or found[2]) if found else ""
    return Half(code, letter if _is_behind(text, code) else "")


def _is_behind(text: str, code: str) -> bool:
    """Tell whether there is more in the text than the code: its last symbol is no half's letter then."""
    signs = re.sub(r"[^0-9A-Z]", "", text.upper().rpartition("/T/")[2])
    return len(signs) > len(code)


def says(item: Item) -> str:
    """Return how a person names an item: by number and name."""
    return f"#{item.number} {item.name}".strip()


def half_problem(
    item: Item, codes: Iterable[str], read: Half, in_hand: str, other: Item | None
) -> Problem | None:
    """Return why what was read is not the other half of a connection; `None` where it is.

    Args:
        item: The connection that is put together.
        codes: Its own codes, and those of what is paired with it.
        read: What was read on the half that it is to go on.
        in_hand: The letter of the half that was scanned first; empty where none was.
        other: What the code that was read belongs to, if anything does.
    """
    own = tuple(codes)
    if read.code in own:
        if in_hand and read.letter == in_hand:
            return Problem(
                "same-half", f"Half {in_hand} was read twice: read the code on the other half.", "via"
            )
        return None
    if other is None:
        message = (
            f"Nothing has the code {shown(read.code)}. This is {says(item)}: {_partner(item, own, in_hand)}."
        )
        return Problem("other-half", message, "via")
    half = f"half {read.letter} of " if read.letter else "a half of "
    message = f"That is {half}{says(other)}; this is {says(item)}: {_partner(item, own, in_hand)}."
    return Problem("wrong-half", message, "via")


def _partner(item: Item, codes: tuple[str, ...], in_hand: str) -> str:
    """Return the words that name the right partner."""
    ends = item.detail.ends if isinstance(item.detail, Connection) else ()
    others = [end for end in ends if end.half != in_hand] if in_hand else list(ends[1:])
    named = " or ".join(f"half {end.half}" + (f", {end.label}" if end.label else "") for end in others)
    code = f" ({shown(codes[0])})" if codes else ""
    return f"its partner is {named or 'the other half'}{code}"
