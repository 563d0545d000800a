"""What a list says when all of it is good: steps, items, and what goes in before what."""

from dataclasses import dataclass

from app.core.items.items import Detail, Edge
from app.core.items.kinds import Kind
from app.core.problem import Problem


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
        owner: One of `app.core.items.items.OWNERS`.
        system: The fluid's system that it closes.
        because: Why it goes back after what it names.
        side: Of `app.core.phases.sides.EXCEPTIONS`; empty where it goes by the rule.
        side_because: Why it does not.
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
    owner: str = ""
    system: str = ""
    because: str = ""
    side: str = ""
    side_because: str = ""


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
