"""What a list says when all of it is good: steps, items, and what goes in before what."""

from dataclasses import dataclass, replace

from app.core.items.items import BLOCKING, Detail, Edge
from app.core.items.kinds import Kind
from app.core.lists.notes import noted, parted_note
from app.core.lists.text import REPLACES
from app.core.problem import Problem

LIST_RELATIONS = (*sorted(BLOCKING, reverse=True), REPLACES)
IN = "→"
"""Parts a place from what it stands in: `bag 4 → crate 1 → shelf A`."""
LONGEST_NAME = 120
_NEW = ", new"


@dataclass(frozen=True, slots=True)
class ListedStep:
    """A step that a list names; what the list does not say of it is `None`.

    Args:
        line: Where it is named first.
        height, direction: As the plan knows them.
        people, minutes: 1 to 9, [-]; 0 to 6000, [min].
    """

    line: int
    name: str
    height: str | None = None
    people: int | None = None
    minutes: int | None = None
    direction: str | None = None


@dataclass(frozen=True, slots=True)
class ListedItem:
    """An item that a list names.

    Args:
        line: Where its row begins.
        key: What other rows call it: its id, or, where it has none, what no row can call it.
        step: The step's name; empty where none is named.
        zone: The zone's name or key; empty where none is named.
        place: From a bag outward.
        destiny: One of `app.core.items.items.DESTINIES`.
    """

    line: int
    key: str
    kind: Kind
    name: str
    detail: Detail
    step: str = ""
    zone: str = ""
    n: int | None = None
    place: tuple[str, ...] = ()
    destiny: str = "refit"
    note: str = ""


@dataclass(frozen=True, slots=True)
class ListPlan:
    """What a list says, all of it good.

    Args:
        items: In the order of taking off.
        steps: In the order of taking off.
        zones: Zones that rows of steps name; those of the items are with the items.
        edges: Between the items' keys.
        rows: How many rows it has, [-].
        remarks: What was read otherwise than it stands, or passed over.
    """

    items: tuple[ListedItem, ...]
    steps: tuple[ListedStep, ...]
    zones: tuple[str, ...]
    edges: tuple[Edge, ...]
    rows: int
    remarks: tuple[Problem, ...] = ()


def renewed(old: ListedItem) -> ListedItem:
    """Return the new thing that goes back in the place of one that a list calls `replaced`."""
    note = noted("", parted_note(old.kind, old.note)[1])
    return replace(old, key=f"{old.key}\n", name=new_name(old.name), place=(), destiny="refit", note=note)


def new_name(name: str) -> str:
    """Return what is written for the new one of something old, at most 120 signs."""
    return f"{name[: LONGEST_NAME - len(_NEW)]}{_NEW}" if name else ""
