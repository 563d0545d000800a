"""Leftovers: pieces out = fitted + spare + lost + renewed, by position, by group and in all."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic

from app.core.items.kinds import Kind, rung
from app.core.ledger.ledger import L, LedgerLine, Pieces, count_pieces, has_begun

COUNTED = frozenset({Kind.FASTENER, Kind.LOCATOR})


@dataclass(frozen=True, slots=True)
class Sum(Generic[L]):
    """The pieces of one group; `unaccounted` are the positions of which nobody has said anything."""

    line: L
    pieces: Pieces
    unaccounted: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Leftovers(Generic[L]):
    """What is left over: the groups that do not add up, and the sum over all groups."""

    groups: tuple[Sum[L], ...]
    total: Pieces


def leftovers(lines: Iterable[L]) -> Leftovers[L]:
    """Return the groups whose pieces do not add up, by number, and the sum of all that came off."""
    sums = [
        Sum(line, count_pieces(line.item, line.state), unaccounted(line))
        for line in lines
        if line.item.kind in COUNTED and has_begun(line.state) and goes_back(line)
    ]
    short = sorted((each for each in sums if each.pieces.missing), key=lambda each: each.line.item.number)
    return Leftovers(tuple(short), _total([each.pieces for each in sums]))


def goes_back(line: LedgerLine) -> bool:
    """Tell whether its pieces are to go back: what is left out on purpose leaves no hole open."""
    return line.state.destiny.value in {"refit", "transfer", "undecided", ""}


def unaccounted(line: LedgerLine) -> tuple[int, ...]:
    """Return the positions whose piece is out and of which nobody has said where it went."""
    return tuple(
        p.n
        for p in line.state.positions
        if (p.act or p.disagree) and not p.piece and not (p.act and rung(line.item.kind, p.act))
    )


def _total(pieces: list[Pieces]) -> Pieces:
    return Pieces(
        sum(each.out for each in pieces),
        sum(each.fitted for each in pieces),
        sum(each.renewed for each in pieces),
        sum(each.spare for each in pieces),
        sum(each.lost for each in pieces),
    )
