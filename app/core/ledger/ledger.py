"""The ledger: why a line is open. Lists, gates, pages and paper read `why_open` and nothing else."""

from dataclasses import dataclass
from typing import Protocol, TypeVar

from app.core.items.items import Connection, Fastener, Item
from app.core.items.kinds import CLOSES, Act, Kind, rung, rungs
from app.core.items.state import ItemState, PositionState
from app.core.problem import Problem
from app.core.threads.positions import LengthProblem, length_problems, positions_of, read_lengths
from app.core.torque.confirming import REOPENS, Reading, reading_of
from app.core.torque.reached import is_within

SETTLED_DESTINIES = frozenset({"left_out", "stays_on_old"})


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason why a line is open, and at which positions."""

    code: str
    positions: tuple[int, ...] = ()


class LedgerLine(Protocol):
    """A line of the ledger as it stands."""

    @property
    def item(self) -> Item:
        """What the plan knows of it."""

    @property
    def state(self) -> ItemState:
        """The fold of its lines."""

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Why it is open; none where it is closed."""


L = TypeVar("L", bound=LedgerLine)


def needs(item: Item) -> Act:
    """Return the rung at which the item's line closes."""
    if item.critical and Act.CHECKED in rungs(item.kind):
        return Act.CHECKED
    if item.kind is Kind.FLUID and not item.bleeds:
        return Act.FILLED
    return CLOSES[item.kind]


def has_begun(state: ItemState) -> bool:
    """Tell whether anything happened to the item: a planned one that was never touched is not open."""
    return any(position.act or position.disagree for position in state.positions)


def is_unused(state: ItemState) -> bool:
    """Tell whether it was found unused: findable, but nothing to put back."""
    return all(position.act is Act.UNUSED for position in state.positions)


def why_open(item: Item, state: ItemState, *, succeeded: bool = True) -> tuple[Reason, ...]:
    """Return the reasons why a line is open; none means that it is closed.

    Args:
        item: Its kind, whether it is critical, its torque.
        state: The fold of its lines.
        succeeded: Whether another item stands in its place, should it be replaced: that one has a line of
            its own, and without it nothing would say that something is to be fitted.
    """
    reasons = [Reason("line-missing")] if state.pending else []
    if any(register.disagree for register in (state.destiny, state.fate, state.place)):
        reasons.append(Reason("disagree"))
    if item.kind is Kind.STEP and not has_begun(state):
        return (*reasons, Reason("not-done"))
    if is_unused(state):
        return tuple(reasons)
    by_position = _by_position(item, state)
    asks = has_begun(state) and (state.destiny.value == "undecided" or is_settled(item, state))
    known = _by_destiny(state, by_position, succeeded=succeeded) if asks else by_position
    return (*reasons, *known)


def is_settled(item: Item, state: ItemState) -> bool:
    """Tell whether what becomes of an item ends its own work: it is left out, stays behind or is replaced.

    A finding ends in a decision and in nothing else; what was put in to come out comes out, or stays on the
    old engine.
    """
    if item.kind is Kind.FINDING:
        return False
    if item.kind is Kind.TEMPORARY:
        return state.destiny.value == "stays_on_old"
    return state.destiny.value in {*SETTLED_DESTINIES, "replaced"}


def _by_destiny(state: ItemState, by_position: tuple[Reason, ...], *, succeeded: bool) -> tuple[Reason, ...]:
    """Return the reasons that count for the item's destiny; a contradiction counts for every one."""
    destiny = state.destiny.value
    contradictions = tuple(reason for reason in by_position if reason.code == "disagree")
    if destiny == "undecided":
        return (*contradictions, Reason("undecided"))
    if destiny in SETTLED_DESTINIES:
        return contradictions
    if destiny == "replaced":
        unsaid = () if state.fate.value else (Reason("fate-unsaid"),)
        return (*contradictions, *unsaid, *(() if succeeded else (Reason("no-successor"),)))
    return by_position


def _by_position(item: Item, state: ItemState) -> tuple[Reason, ...]:
    found: dict[str, list[int]] = {}
    for position in state.positions:
        code = _why(item, position)
        if code:
            found.setdefault(code, []).append(position.n)
    if was_tightened(item, state) and reading_in(item, state).standing in REOPENS:
        found["reading-changed"] = []
    if wrong := length_warnings(item, state):
        found["length-wrong"] = sorted({n for problem in wrong for n in problem.at})
    if state.amounts.asks and has_begun(state):
        found["fill-short"] = []
    return tuple(Reason(code, tuple(at)) for code, at in found.items())


DONE_AGAIN = frozenset({"one-time-old", "old-as-tool", "no-figure", "out-of-band", "reading-changed"})
"""Why a group is open that only tightening it again closes: with new pieces, or to a value that fits."""


def length_warnings(item: Item, state: ItemState) -> tuple[LengthProblem, ...]:
    """Return what is wrong with the lengths that were found in the holes; a swap names both of them."""
    if not isinstance(item.detail, Fastener) or not state.lengths.value:
        return ()
    fitted = read_lengths(state.lengths.value, 0)
    holes = positions_of(item.detail.lengths, item.detail.holes, item.positions)
    return () if isinstance(fitted, Problem) else length_problems(holes, fitted)


def reading_in(item: Item, state: ItemState) -> Reading:
    """Return how the torque of an item is read, and whether that stands; what is no group has none."""
    group = item.detail if isinstance(item.detail, Fastener) else Fastener()
    return reading_of(group.torque, group.torque_read, state.confirmed)


def was_tightened(item: Item, state: ItemState) -> bool:
    """Tell whether bolts of a group are tight."""
    tight = rung(Kind.FASTENER, Act.TIGHT)
    acts = (position.act for position in state.positions if position.act)
    return item.kind is Kind.FASTENER and any(rung(Kind.FASTENER, act) >= tight for act in acts)


def _why(item: Item, position: PositionState) -> str:
    """Return the code of the reason why one position is open, or an empty text."""
    if position.disagree:
        return "disagree"
    if position.piece == "lost":
        return "piece-lost"
    if position.act is None or position.piece == "spare":  # still on, or its hole stays empty on purpose
        return ""
    if rung(item.kind, position.act) < rung(item.kind, work_act(item)):
        return position.act.value.replace("_", "-")
    return _why_fastener(item, position) or _why_unpaired(item, position) or _why_unseen(item, position)


def _why_unpaired(item: Item, position: PositionState) -> str:
    return "halves-unread" if _lacks_half(item, position) else ""


def _lacks_half(item: Item, position: PositionState) -> bool:
    """Tell whether a connection was latched and nobody has read the code on its other half."""
    asks = isinstance(item.detail, Connection) and item.detail.both_halves
    latched = position.act is not None and rung(item.kind, position.act) >= rung(item.kind, Act.LATCHED)
    return asks and latched and not position.via


def _why_fastener(item: Item, position: PositionState) -> str:
    if not isinstance(item.detail, Fastener):
        return ""
    if position.piece == "tool":
        return "old-as-tool"
    if item.detail.one_time == "yes" and position.piece != "renewed":
        return "one-time-old"
    if not item.detail.torque and not position.reached:
        return "no-figure"
    return "" if is_within(item.detail.torque, position.reached) else "out-of-band"


def _why_unseen(item: Item, position: PositionState) -> str:
    if position.act is Act.CHECKED or needs(item) is not Act.CHECKED:
        return ""
    return "own-look" if position.refused_check else "second-look"


def work_act(item: Item) -> Act:
    """Return the last rung of the work itself, before the second look."""
    return Act.FILLED if item.kind is Kind.FLUID and not item.bleeds else CLOSES[item.kind]


def word(item: Item, state: ItemState) -> str:
    """Return the one word that stands for the whole item: the state of its lowest position.

    One of the acts' values, or "on" (never touched), "disagree", "left_out", "stays_on_old", "replaced",
    "undecided".
    """
    if state.pending or any(p.disagree for p in state.positions) or state.destiny.disagree:
        return "disagree"
    if not has_begun(state):
        return "on"
    if state.destiny.value not in ("refit", "transfer") and not is_unused(state):
        return state.destiny.value
    acts = [p.act for p in state.positions if p.act and p.piece != "spare"]
    if not acts:
        return Act.TIGHT.value if item.kind is Kind.FASTENER else CLOSES[item.kind].value
    return min(acts, key=lambda act: rung(item.kind, act)).value


def next_act(item: Item, state: ItemState, *, stages: int = 0) -> Act | None:
    """Return the next rung of the item's own ladder, from its lowest position.

    `None` at the top, and where lines disagree: that is settled first. Once some positions are off, those
    that are still on wait for nothing.

    Args:
        item: The item.
        state: The fold of its lines.
        stages: Tightening stages before the final one.
    """
    top = rung(item.kind, needs(item))
    ladder = [
        act for act in rungs(item.kind, bleeds=item.bleeds, stages=stages) if rung(item.kind, act) <= top
    ]
    if any(position.disagree for position in state.positions):
        return None
    touched = [p for p in state.positions if p.act]
    if any(_lacks_half(item, position) for position in touched):
        return Act.LATCHED
    at = [rung(item.kind, p.act) for p in touched if p.act and p.piece != "spare"]
    lowest = min(at, default=top) if touched else -1
    return next((act for act in ladder if rung(item.kind, act) > lowest), None)


@dataclass(frozen=True, slots=True)
class Pieces:
    """What became of the pieces of a group: `out` equals the sum of the others when all are accounted for."""

    out: int
    fitted: int
    renewed: int
    spare: int
    lost: int

    @property
    def missing(self) -> int:
        """Pieces that are out and neither fitted nor spoken for."""
        return self.out - self.fitted - self.renewed - self.spare - self.lost


def count_pieces(item: Item, state: ItemState) -> Pieces:
    """Count the pieces of an item by what became of them, position by position."""
    touched = [p for p in state.positions if p.act or p.disagree]
    up = [p for p in touched if p.act and rung(item.kind, p.act) > 0]
    spoken = {"renewed": 0, "spare": 0, "lost": 0}
    for position in touched:
        if position.piece in spoken:
            spoken[position.piece] += 1
    fitted = sum(1 for p in up if p.piece not in spoken)
    return Pieces(len(touched), fitted, spoken["renewed"], spoken["spare"], spoken["lost"])
