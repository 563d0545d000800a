"""What a list makes new by itself: the thing that goes in the place of one that is `replaced`."""

from dataclasses import replace

from app.core.lists.listed import ListedItem
from app.core.lists.notes import noted, parted_note

LONGEST_NAME = 120
_NEW = ", new"


def renewed(old: ListedItem) -> ListedItem:
    """Return the new thing that goes back in the place of one that a list calls `replaced`."""
    note = noted("", parted_note(old.kind, old.note)[1])
    return replace(old, key=f"{old.key}\n", name=new_name(old.name), place=(), destiny="refit", note=note)


def new_name(name: str) -> str:
    """Return what is written for the new one of something old, at most 120 signs."""
    return f"{name[: LONGEST_NAME - len(_NEW)]}{_NEW}" if name else ""
