"""Item numbers as people type them: `44`, `#44`, `no. 44`, `44 nuts`, `12, 14; 15`."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from app.core.items.items import Item
from app.core.problem import Problem

_SIGN = r"(?:#|(?:nos?|nr|number|item)\b\.?)"
_ONE = re.compile(rf"(?:{_SIGN}\s*){{0,2}}([0-9]{{1,9}})(?:\s+([^\W\d]\D*))?", re.IGNORECASE)
_ALONE = re.compile(rf"(?:{_SIGN}?\s*[0-9]{{1,9}}(?:\s+|$))+", re.IGNORECASE)
_BETWEEN = re.compile(r"[,;\n]|\band\b|&", re.IGNORECASE)
_SUCH_AS = "type running numbers, such as #12"


@dataclass(frozen=True, slots=True)
class TypedNumber:
    """A number as typed.

    Args:
        number: The item's running number.
        words: What was typed behind it, such as `nuts`; empty for nothing.
    """

    number: int
    words: str = ""


def read_numbers(typed: str) -> tuple[TypedNumber, ...] | Problem:
    """Return the numbers in what was typed, each once; none for nothing.

    Commas, semicolons, line ends and `and` part them; blanks do where there is nothing but numbers.
    """
    parts: list[str] = []
    for part in filter(None, map(str.strip, _BETWEEN.split(typed))):
        parts += re.findall(r"[0-9]+", part) if _ALONE.fullmatch(part) else [part]
    found: dict[int, TypedNumber] = {}
    for part in parts:
        read = _ONE.fullmatch(part)
        if read is None:
            return Problem("number", f"«{part[:20]}» is no item's number: {_SUCH_AS}.")
        found.setdefault(int(read[1]), TypedNumber(int(read[1]), (read[2] or "").strip()))
    return tuple(found.values())


def items_of(typed: str, items: Iterable[Item]) -> tuple[Item, ...] | Problem:
    """Return the items that typed numbers mean, in their order; none for nothing.

    Returns:
        The items, or what is wrong: no number, one that no item has, or words behind it that are not that
        item's: `2 bolts` is no way to call hose number 2.
    """
    numbers = read_numbers(typed)
    if isinstance(numbers, Problem):
        return numbers
    by_number = {item.number: item for item in items} if numbers else {}
    unknown = [f"#{each.number}" for each in numbers if each.number not in by_number]
    if unknown:
        return Problem("number", f"There is no item {', '.join(unknown[:5])}: {_SUCH_AS}.")
    for each in numbers:
        item = by_number[each.number]
        if each.words and not _is_called(item, each.words):
            said = f"#{item.number} is «{item.name or item.kind.value}», not «{each.words[:40]}»"
            return Problem("number", f"{said}: type its number alone, or another one.")
    return tuple(by_number[each.number] for each in numbers)


def item_of(typed: str, items: Iterable[Item]) -> Item | Problem:
    """Return the one item that a typed number means, or what is wrong, also where nothing was typed."""
    found = items_of(typed, items)
    if isinstance(found, Problem):
        return found
    if len(found) != 1:
        told = "Type one item's number only" if found else "Type an item's number"
        return Problem("number", f"{told}, such as #12.")
    return found[0]


def _is_called(item: Item, words: str) -> bool:
    """Tell whether one of some words is in an item's name, kind or type, one or several of it."""
    own = f"{item.name} {item.kind.value} {item.type}".casefold()
    typed = re.findall(r"\w+", words.casefold())
    return any(word in own or word.removesuffix("s") in own for word in typed)
