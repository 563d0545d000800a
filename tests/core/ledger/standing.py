"""Lines of the ledger as they stand, made from acts: Ada works, Ben looks."""

from dataclasses import dataclass, replace
from typing import Any

from app.core.items.items import DETAIL, Detail, End, Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, fold
from app.core.ledger.ledger import Reason, why_open, work_act
from tests.core.items.lines import mark

ACROSS = (End("A", "body", "vehicle"), End("B", "block", "old engine"))


@dataclass(frozen=True)
class Stands:
    item: Item
    state: ItemState

    @property
    def reasons(self) -> tuple[Reason, ...]:
        return why_open(self.item, self.state)


def known(kind: Kind, **over: Any) -> Detail:
    """A detail of which everything is known that closes a line."""
    given: dict[Kind, dict[str, Any]] = {
        Kind.CONNECTION: {"type": "electrical connector", "ends": ACROSS},
        Kind.FASTENER: {"thread": "M8x1.25x30", "torque": "25 N·m", "one_time": "no"},
        Kind.FLUID: {"system": "coolant", "bleeds": True},
    }
    made: Detail = DETAIL.get(kind, DETAIL[Kind.PART])(**(given.get(kind, {}) | over))
    return made


def item(kind: Kind = Kind.CONNECTION, item_id: str = "1", **over: Any) -> Item:
    detail = over.pop("detail", None) or known(kind)
    number = int(item_id) if item_id.isdigit() else 1
    return replace(Item(item_id, number, kind, f"a {kind}", "s1", "z1", 1, detail=detail), **over)


def stands(it: Item, *acts: Act, lines: tuple[Line, ...] = ()) -> Stands:
    """One act after the other, each in sight of the one before."""
    told = [
        mark(f"{i}", act, after=[f"{i - 1}"] if i else [], person="Ben" if act is Act.CHECKED else "Ada")
        for i, act in enumerate(acts)
    ]
    return Stands(it, fold(it.kind, it.positions, [*told, *lines], work=work_act(it)))
