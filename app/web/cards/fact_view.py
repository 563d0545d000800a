"""What a person at the engine needs to know of an item, one fact a line."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from app.core.builds.snapshot import Entry
from app.core.items.items import Connection, Fastener, Item
from app.core.ledger.ledger import Pieces, count_pieces, length_warnings
from app.core.threads.positions import hole_steps, is_mixed
from app.core.tightening.parsed import holes_of
from app.web.site.wording import in_dialect

_SAID_JOINTS = frozenset({"aluminium or magnesium", "plastic, or a plastic cap", "banjo or hollow bolt"})
"""What a thread goes into, where that calls for care."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of a card.

    Args:
        text: What it says.
        detail: What stands small beneath it.
        is_open: Whether it is to be acted on.
    """

    text: str
    detail: str = ""
    is_open: bool = False


@dataclass(frozen=True, slots=True)
class ItemFacts:
    """What a card says of an item besides its state.

    Args:
        again: That it came off again after it was in; `None` the first time.
        facts: The others, in the order of the card.
    """

    again: Fact | None
    facts: tuple[Fact, ...]


def item_facts(entry: Entry, place: Sequence[str]) -> ItemFacts:
    """Return what a card says of an item.

    Args:
        entry: The item as it stands.
        place: Where it lies, outermost first; empty where nobody said.
    """
    item, nth = entry.item, entry.state.round
    again = "it came off again: tight and checked count anew, and so do one-time pieces"
    return ItemFacts(
        Fact(f"Round {nth}", again) if nth > 1 else None,
        (*_lies(count_pieces(item, entry.state), place), *_own(entry), *_looked_at(item)),
    )


def _lies(pieces: Pieces, place: Sequence[str]) -> Iterator[Fact]:
    several = pieces.out > 1
    counted = (
        f"{pieces.out} out: {pieces.fitted} fitted, {pieces.renewed} renewed, {pieces.spare} spare, "
        f"{pieces.lost} lost"
    )
    if place:
        yield Fact(" → ".join(place), f"{counted}, {pieces.missing} still to go" if several else "")
    elif several:
        yield Fact("No shelf place yet", counted)


def _own(entry: Entry) -> Iterable[Fact]:
    detail = entry.item.detail
    if isinstance(detail, Connection):
        return _of_connection(detail)
    return _of_group(entry, detail) if isinstance(detail, Fastener) else ()


def _of_connection(detail: Connection) -> Iterator[Fact]:
    if detail.lock:
        yield Fact(f"Lock: {detail.lock}")
    for end in detail.ends:
        if end.label:
            yield Fact(f"{end.half}: {in_dialect(end.label)}", f"on the {end.owner}")


def _of_group(entry: Entry, group: Fastener) -> Iterator[Fact]:
    if group.threadlock:
        yield Fact(group.threadlock, "lock or sealant")
    if group.friction not in {"", "not known"}:
        yield Fact(f"Thread: {group.friction}", "the torque holds for this")
    if group.joint in _SAID_JOINTS:
        yield Fact(f"Into {in_dialect(group.joint)}")
    holes = holes_of(entry.item)
    yield from (Fact(in_dialect(tip)) for tip in hole_steps(holes))
    if is_mixed(holes):
        yield Fact("Lengths differ", f"holes {group.lengths.replace(';', ' mm ·')} mm")
    for wrong in length_warnings(entry.item, entry.state):
        yield Fact(in_dialect(wrong.message), is_open=True)
    if group.one_time == "yes":
        once = "Old bolts may draw it up. New bolts for final torque."
        yield Fact("One-time-use bolt: install new", once, is_open=True)
    if group.retorque:
        yield Fact(f"Tighten again: {group.retorque}", "after the first start")


def _looked_at(item: Item) -> Iterator[Fact]:
    if item.critical:
        yield Fact("A second person looks at it")
