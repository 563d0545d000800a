"""The old engine against the new one: what stays, moves, is adapted, is new, or never returns."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from app.core.items.items import Connection, Edge, Item
from app.core.items.kinds import Kind
from app.core.items.state import ItemState
from app.core.ledger.ledger import SETTLED_DESTINIES

OLD, NEW = "old engine", "new engine"
GROUPS: Mapping[str, str] = MappingProxyType(
    {
        "unanswered": "Old engine: still without an answer",
        "moves": "Moves to the new engine",
        "adapted": "Adapted: another stands in its place, or it was altered to fit",
        "new_only": "New, with no old one",
        "old_only": "Old, with no new one",
        "never": "Never returns",
        "stays": "Stays as it is",
    },
)
"""The groups of the comparison, the ones that ask for work first."""


@dataclass(frozen=True, slots=True)
class Compared:
    """One item of the comparison.

    Args:
        group: One of `GROUPS`.
        item: Its id.
        others: What replaces it or what it moves to (or, for a new one, what it replaces).
        reason: Why it never returns, or what was decided.
    """

    group: str
    item: str
    others: tuple[str, ...] = ()
    reason: str = ""


def owners_of(item: Item) -> frozenset[str]:
    """Return whose an item is, and whose its ends are."""
    ends = item.detail.ends if isinstance(item.detail, Connection) else ()
    return frozenset({item.owner, *(end.owner for end in ends if end.owner)})


def is_of_old(item: Item) -> bool:
    """Tell whether an item comes and goes with the old engine: its own, or joined to nothing else."""
    ends = item.detail.ends if isinstance(item.detail, Connection) else ()
    return item.owner == OLD or {end.owner for end in ends if end.owner} == {OLD}


def has_new_engine(pairs: Iterable[tuple[Item, ItemState]]) -> bool:
    """Tell whether another engine goes in: something belongs to it, or goes or stays because of it."""
    return any(
        NEW in owners_of(item) or state.destiny.value in {"transfer", "stays_on_old"} for item, state in pairs
    )


def compare(
    pairs: Sequence[tuple[Item, ItemState]], edges: Iterable[Edge], adapted: frozenset[str] = frozenset()
) -> tuple[Compared, ...]:
    """Return the comparison, each item once, by the items' order.

    Args:
        pairs: Items with their states; findings, fluids and temporary things are passed over.
        edges: `replaces` (new to old) and `moves_to` among them.
        adapted: Ids of items that were altered to fit.
    """
    new_by_old: dict[str, list[str]] = {}
    old_by_new: dict[str, list[str]] = {}
    moves: dict[str, list[str]] = {}
    for edge in edges:
        if edge.rel == "replaces":
            new_by_old.setdefault(edge.to, []).append(edge.frm)
            old_by_new.setdefault(edge.frm, []).append(edge.to)
        elif edge.rel == "moves_to":
            moves.setdefault(edge.frm, []).append(edge.to)
    another = has_new_engine(pairs)
    return tuple(
        Compared(
            _group(item, state, (new_by_old, old_by_new, moves), another=another, adapted=item.id in adapted),
            item.id,
            tuple(new_by_old.get(item.id) or moves.get(item.id) or old_by_new.get(item.id) or ()),
            state.destiny.reason,
        )
        for item, state in pairs
        if item.kind not in {Kind.FINDING, Kind.FLUID, Kind.TEMPORARY, Kind.STEP}
    )


def _group(
    item: Item,
    state: ItemState,
    links: tuple[Mapping[str, list[str]], Mapping[str, list[str]], Mapping[str, list[str]]],
    *,
    another: bool,
    adapted: bool,
) -> str:
    new_by_old, old_by_new, moves = links
    destiny = "undecided" if state.destiny.disagree else state.destiny.value
    if destiny == "replaced":
        return "adapted" if item.id in new_by_old else "old_only"
    if destiny in SETTLED_DESTINIES:
        return "never"
    if item.owner == NEW:
        return "adapted" if item.id in old_by_new or adapted else "new_only"
    if destiny == "transfer" or (item.id in moves and destiny != "undecided"):
        return "adapted" if adapted else "moves"
    if is_of_old(item) and (another or destiny == "undecided"):
        return "unanswered"
    return "adapted" if item.id in old_by_new or adapted else "stays"
