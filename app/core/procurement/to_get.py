"""What is to be got before things can go back: worked out from the ledger, joined with what was ordered."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from app.core.items.items import Fastener, Fluid, Item
from app.core.items.kinds import Kind, rung
from app.core.items.state import ItemState, PositionState
from app.core.ledger.ledger import has_begun, is_unused, work_act
from app.core.procurement.outstanding import Outstanding

GOES_BACK = frozenset({"refit", "transfer", "undecided"})
NOT_BOUGHT = ("none", "patch", "stake")
"""Words for a lock that the bolt itself brings, or that there is none."""
ONE_EACH = ("washer", "pin", "nut", "plate", "ring", "seal", "clip")
"""Words for locks and seals of which every bolt has one; of others one does for the group."""


@dataclass(frozen=True, slots=True)
class Need:
    """Something that an item needs and that comes from a shop.

    Args:
        item: The item's id.
        code: `pieces`, `seal`, `replacement`, `fluid` or `lost`, with ` n` behind it in the n-th round.
        what: What to ask for, in words.
        count: How many pieces.
        litres: How much, where it is poured, [l]; 0 where that is unknown.
    """

    item: str
    code: str
    what: str
    count: int = 1
    litres: float = 0.0


@dataclass(frozen=True, slots=True)
class GetLine:
    """A line of the list: a need of an item, or a wish of the owner, and what has been done about it.

    `needed` is false for what was ordered and is no longer asked for: fitted by now, or not going back.
    """

    item: str
    code: str
    what: str
    count: int
    litres: float
    outstanding: Outstanding | None
    needed: bool = True

    @property
    def stage(self) -> str:
        """`to get`, `ordered` or `arrived`."""
        if self.outstanding is None or (self.outstanding.is_open and self.outstanding.since is None):
            return "to get"
        return "ordered" if self.outstanding.is_open else "arrived"

    @property
    def shop(self) -> str:
        """Where it is bought; empty where nobody has said."""
        return self.outstanding.at_whom if self.outstanding else ""

    @property
    def quantity(self) -> str:
        """How much, in words."""
        if self.code.startswith("fluid") and self.needed:
            return f"{self.litres:g} l" if self.litres else "amount not known"
        return f"{self.count} ×"


def needs_of(item: Item, state: ItemState, *, replaces: bool, replaced_by: bool) -> tuple[Need, ...]:
    """Return what an item needs from a shop before it can go back.

    One-time pieces that are not renewed, gaskets and other seals, lost pieces, a fluid to fill, and a
    replacement that lies nowhere yet.

    Args:
        item: The item.
        state: The fold of its lines.
        replaces: Whether it stands in the place of another.
        replaced_by: Whether another stands in its place.
    """
    if item.kind is Kind.FINDING or not has_begun(state) or is_unused(state):
        return ()
    if state.destiny.value == "replaced" and not replaced_by:
        return (Need(item.id, "replacement", f"in the place of: {_name(item)}", item.n or 1),)
    if state.destiny.value not in GOES_BACK and not state.destiny.disagree:
        return ()
    found = [*_pieces(item, state), *_fluid(item, state)]
    if replaces and not state.place.value and not _is_up(item, state):
        found.append(_need(item, state, "replacement", _name(item), item.n or 1))
    return tuple(found)


def _need(item: Item, state: ItemState, code: str, what: str, count: int = 1, litres: float = 0.0) -> Need:
    """Return a need; what was bought for an earlier round does not serve this one."""
    return Need(item.id, code if state.round == 1 else f"{code} {state.round}", what, count, litres)


def _name(item: Item) -> str:
    return item.name or f"#{item.number}"


def _is_up(item: Item, state: ItemState) -> bool:
    return any(p.act and rung(item.kind, p.act) > 0 for p in state.positions)


def _pieces(item: Item, state: ItemState) -> list[Need]:
    if not isinstance(item.detail, Fastener):
        return []
    group = item.detail
    out = [p for p in state.positions if (p.act or p.disagree) and p.piece != "spare"]
    lost = sum(p.piece == "lost" for p in out)
    old = sum(p.piece not in {"renewed", "lost"} for p in out) if group.one_time == "yes" else 0
    words = " ".join(word for word in (_name(item) + ":", group.thread, group.strength, item.type) if word)
    found = [_need(item, state, "pieces", words.rstrip(":"), old)] if old else []
    found += [_need(item, state, "lost", words.rstrip(":"), lost)] if lost else []
    loose = [p for p in out if not _is_tight(item, p)]
    lock = group.threadlock.strip()
    if loose and lock and not lock.lower().startswith(NOT_BOUGHT):
        each = any(word in lock.lower() for word in ONE_EACH) and "gasket" not in lock.lower()
        found.append(_need(item, state, "seal", f"{lock}, for {_name(item)}", len(out) if each else 1))
    return found


def _is_tight(item: Item, position: PositionState) -> bool:
    return position.act is not None and rung(item.kind, position.act) >= rung(item.kind, work_act(item))


def _fluid(item: Item, state: ItemState) -> list[Need]:
    if not isinstance(item.detail, Fluid) or _is_up(item, state):
        return []
    words = ", ".join(word for word in (_name(item), item.detail.spec) if word)
    return [_need(item, state, "fluid", words, litres=item.detail.capacity_l or state.amounts.drained or 0.0)]


def may_be_one_time(item: Item, state: ItemState) -> bool:
    """Tell whether nobody knows yet if the pieces of a group that came off may be used again."""
    return isinstance(item.detail, Fastener) and item.detail.one_time == "unknown" and has_begun(state)


def get_lines(needs: Iterable[Need], known: Iterable[Outstanding]) -> tuple[GetLine, ...]:
    """Return the list: each need with what was done about it, then the owner's own lines and what is met."""
    gets = [outstanding for outstanding in known if outstanding.category == "get"]
    about: Mapping[tuple[str, str], Outstanding] = {(w.item_id, w.need): w for w in gets if w.need != "other"}
    lines = []
    for need in needs:
        outstanding = about.get((need.item, need.code))
        lines.append(GetLine(need.item, need.code, need.what, need.count, need.litres, outstanding))
    met = {line.outstanding.id for line in lines if line.outstanding}
    rest = (w for w in gets if w.id not in met)
    return (
        *lines,
        *(
            GetLine(w.item_id, w.need, w.what, w.count, 0.0, w, needed=w.need == "other")
            for w in rest
            if w.need == "other" or w.since or not w.is_open
        ),
    )
