"""What every group was tightened to, row by row: the print, what was reached, with what, by whom."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.core.items.items import Fastener
from app.core.items.kinds import Act, Kind, rung
from app.core.items.state import PositionState
from app.core.ledger.ledger import L, reading_in
from app.core.torque.acts import told_text

_TIGHT = rung(Kind.FASTENER, Act.TIGHT)
_NOTHING = "tight, no value noted"


@dataclass(frozen=True, slots=True)
class ReachedRow:
    """Bolts of a group that were tightened alike.

    Args:
        number, name: The group's.
        print: What the manual prints, word for word and whole; empty where no figure is written.
        chosen: The value of it that was chosen, where it gives several.
        read_as: What that is read as.
        confirmed: Whether the reading stands.
        source: Where it is printed.
        note: Under which conditions it holds.
        holes: Which of its bolts these are; empty for all.
        reached: What was reached, and how that is known.
        wrench: With what.
        person: The id of who did it.
        line: The id of the line that says so.
    """

    number: int
    name: str
    print: str
    chosen: str
    read_as: str
    confirmed: bool
    source: str
    note: str
    holes: tuple[int, ...]
    reached: str
    wrench: str
    person: str
    line: str


def reached_rows(lines: Iterable[L]) -> tuple[ReachedRow, ...]:
    """Return a row for each group that is tight, or for each part of it that was tightened otherwise."""
    return tuple(row for line in lines for row in _rows(line))


def _rows(line: L) -> Iterator[ReachedRow]:
    group = line.item.detail
    if not isinstance(group, Fastener):
        return
    reading = reading_in(line.item, line.state)
    for at in _alike(line.state.positions):
        told = at[0]
        yield ReachedRow(
            line.item.number,
            line.item.name,
            group.printed,
            group.torque if group.torque_print else "",
            reading.read_as,
            reading.stands,
            group.torque_source,
            group.torque_note,
            () if len(at) == len(line.state.positions) else tuple(position.n for position in at),
            told_text(told.told, told.reached, told.setting) if told.reached else _NOTHING,
            told.wrench,
            told.person,
            next(iter(told.lines), ""),
        )


def _alike(positions: Iterable[PositionState]) -> list[list[PositionState]]:
    """Return the tight bolts, those together of which the same is said."""
    found = defaultdict(list)
    for each in positions:
        if each.act and rung(Kind.FASTENER, each.act) >= _TIGHT and each.piece != "spare":
            found[each.told, each.reached, each.setting, each.wrench, each.person].append(each)
    return list(found.values())
