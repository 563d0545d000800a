"""The words that an item is found by."""

from collections.abc import Iterable
from difflib import get_close_matches

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.wording.items import item_title

LEAST_ALIKE = 0.7
"""How alike two words have to be for the one to be offered for the other, 0 to 1; chosen by trying."""


def text_of(entry: Entry, build: Snapshot) -> str:
    """Return all the words of an item that somebody may look for, case folded."""
    item = entry.item
    zone, step = build.zone.get(item.zone), build.step.get(item.step)
    return " ".join(
        (
            item_title(item),
            item.type,
            item.note,
            str(getattr(item.detail, "thread", "")),
            zone.label if zone else "",
            *((step_name(step, way) for way in Way) if step else ()),
            *build.place_path(entry.state.place.value),
        )
    ).casefold()


def has_words(text: str, asked: str) -> bool:
    """Tell whether a text has every word that was asked for, each anywhere; not where none was."""
    words = asked.casefold().split()
    return bool(words) and all(word in text for word in words)


def meant(asked: str, texts: Iterable[str]) -> str:
    """Return what was asked with each unknown word exchanged for the nearest known one.

    Args:
        asked: As it was typed.
        texts: Case folded.

    Returns:
        Words in small letters; empty if one of them has nothing near it.
    """
    known = sorted({word.strip(".,:;()") for text in texts for word in text.split()})
    words = [_nearest(word, known) for word in asked.casefold().split()]
    return " ".join(words) if all(words) else ""


def _nearest(word: str, known: list[str]) -> str:
    if any(word in each for each in known):
        return word
    return next(iter(get_close_matches(word, known, 1, LEAST_ALIKE)), "")
