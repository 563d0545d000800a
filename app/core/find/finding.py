"""What is found for what was typed: a code's tag, a number's item, or the items that have all the words."""

from collections.abc import Collection
from dataclasses import dataclass

from app.core.builds.snapshot import Entry, Snapshot
from app.core.find.texts import has_words, meant, text_of
from app.core.items.items import Item
from app.core.items.numbers import item_of
from app.core.problem import Problem
from app.core.tags import CODE_LENGTH, neighbours, read_typed

LEAST_OF_CODE = 3


@dataclass(frozen=True, slots=True)
class Found:
    """What was found.

    Args:
        code: The issued code that was typed whole; nothing else is looked for then.
        item: The id of the item whose number was typed; nothing else is looked for then.
        entries: Items, those whose code begins as typed first, each by running number.
        meant: The nearest words that something has, where nothing was found; empty if there are none.
        near: Issued codes that may have been meant, where nothing was found.
        problem: What is wrong with what looks like a code, where nothing was found.
    """

    code: str = ""
    item: str = ""
    entries: tuple[Entry, ...] = ()
    meant: str = ""
    near: tuple[str, ...] = ()
    problem: str = ""


def find(asked: str, build: Snapshot, issued: Collection[str]) -> Found:
    """Return what is found.

    Args:
        asked: As it was typed, without blanks around it; nothing is found for nothing.
        build: Where to look.
        issued: The codes of all tags that were printed.
    """
    if not asked:
        return Found()
    code = read_typed(asked)
    if isinstance(code, str) and code in issued:
        return Found(code=code)
    exact = item_of(asked, (entry.item for entry in build.items))
    if isinstance(exact, Item):
        return Found(item=exact.id)
    texts = {entry.item.id: text_of(entry, build) for entry in build.items}
    by_code = _by_code(asked, build)
    by_words = [entry for entry in build.items if has_words(texts[entry.item.id], asked)]
    if entries := (*by_code, *(entry for entry in by_words if entry not in by_code)):
        return Found(entries=entries)
    wrong = code.message if isinstance(code, Problem) and _looks_like_code(asked) else ""
    return Found(meant=meant(asked, texts.values()), near=neighbours(asked, issued), problem=wrong)


def _looks_like_code(asked: str) -> bool:
    """Tell whether it has a digit, and as many signs as a code, one more or one less."""
    squeezed = _squeezed(asked)
    return abs(len(squeezed) - CODE_LENGTH) <= 1 and any(sign.isdigit() for sign in squeezed)


def _by_code(asked: str, build: Snapshot) -> tuple[Entry, ...]:
    """Return the items whose code begins like this, from three signs on: a torn tag says at least so much."""
    begins = _squeezed(asked).upper()
    if len(begins) < LEAST_OF_CODE:
        return ()
    return tuple(e for e in build.items if any(c.startswith(begins) for c in build.tags.get(e.subject, ())))


def _squeezed(asked: str) -> str:
    return asked.replace("-", "").replace(" ", "")
