"""The state of one item: a pure fold of its lines. The same lines give the same state, however they came."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import cast

from app.core.items.amounts import Amounts, amounts_of
from app.core.items.bodies.acts import Acknowledge, Confirm
from app.core.items.bodies.milestones import Accept, Explain
from app.core.items.journal import History, Line
from app.core.items.kinds import CLOSES, Act, Kind, opening_act, rung


@dataclass(frozen=True, slots=True)
class PositionState:
    """What is in force at one position (a bolt of a group, a joint of a connection).

    Args:
        act: The last act; `None` where nothing happened or the lines disagree.
        lines: The lines that say so; more than one act among them where `disagree` is true.
        person: Who did the act (not who checked it).
        checker: Who took the second look, where `act` is `checked`.
        alone: The second look was a look again by the doer after a break.
        looked_in: In which round of the engine the second look was taken, where `act` is `checked`.
        reached: What was reached at the bolt, as typed or as the wrench was set.
        told: How that is known: clicked, read, marks lined up, angle gauge, by feel; empty where not said.
        setting: What the wrench was set to or showed, where an adapter makes that another value.
        wrench: What it was tightened with.
        piece: What became of the old piece: "", "renewed", "spare", "lost" or "tool" (used only to pull).
        refused_check: Somebody marked a second look on their own work; it does not count.
        via: The code read on the other half, since it last came off; empty where none was.
    """

    n: int
    act: Act | None = None
    stage: int = 0
    lines: tuple[str, ...] = ()
    person: str = ""
    checker: str = ""
    alone: bool = False
    reached: str = ""
    disagree: bool = False
    piece: str = ""
    refused_check: bool = False
    wrench: str = ""
    via: str = ""
    told: str = ""
    setting: str = ""
    looked_in: int = 1


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """A caution about a torque that somebody looked into; another torque text makes it void."""

    caution: str
    torque: str
    person: str


@dataclass(frozen=True, slots=True)
class Confirmed:
    """A reading of a torque that somebody compared with the print; another text makes it void.

    Args:
        torque: The print.
        reading: What it was read as.
        person: Who compared it.
        at: When, by the writer's clock, for display only.
    """

    torque: str
    reading: str
    person: str
    at: str = ""


@dataclass(frozen=True, slots=True)
class Register:
    """One value that later lines replace; `disagree` where lines that had not seen each other differ."""

    value: str = ""
    reason: str = ""
    lines: tuple[str, ...] = ()
    disagree: bool = False


@dataclass(frozen=True, slots=True)
class ItemState:
    """All that follows from an item's lines.

    Args:
        tips: What a next line names as `after`.
        off_seq: When it came off, by arrival: the order of the strict reverse; 0 where it never did.
        lengths: The lengths of bolts as somebody found them in their holes.
        round: 1, or more where it was taken off again after it had been put back.
        pending: Ids of lines kept until the line they name arrives.
        last_seq: The newest line's number, for display.
        amounts: What was drained and filled.
    """

    positions: tuple[PositionState, ...]
    destiny: Register = Register("refit")
    fate: Register = Register()
    place: Register = Register()
    lengths: Register = Register()
    acknowledged: tuple[Acknowledged, ...] = ()
    confirmed: tuple[Confirmed, ...] = ()
    tips: tuple[str, ...] = ()
    pending: tuple[str, ...] = ()
    off_seq: int = 0
    round: int = 1
    last_seq: int = 0
    amounts: Amounts = field(default_factory=Amounts)


REMARKS = frozenset({Accept.VERB, Explain.VERB})
"""Verbs that speak of a thing as it stands and leave it so: no later line has to have seen them."""


def fold(kind: Kind, positions: int, lines: Iterable[Line], *, work: Act | None = None) -> ItemState:
    """Return the state of an item from its lines.

    Args:
        kind: What the item is.
        positions: How many positions the plan knows, at least 1.
        lines: The item's lines in any order, repeated or not.
        work: The last rung of the work itself, which a second look looks at; by default the kind's own.
    """
    closing = rung(kind, work or CLOSES[kind])
    known = tuple(lines)
    history = History(line for line in known if line.verb not in REMARKS)
    marks = [line for line in history.in_force if line.record.act is not None]
    counts = [line for line in history.in_force if line.record.piece is not None]
    named = [n for each in (*marks, *counts) for n in each.record.pos or ()]
    return ItemState(
        positions=tuple(
            _position(kind, n, history, marks, counts, closing)
            for n in range(1, max([positions, *named]) + 1)
        ),
        destiny=register(history, "destiny", Register("refit")),
        fate=register(history, "fate", Register()),
        place=register(history, "place", Register()),
        lengths=register(history, "lengths", Register()),
        acknowledged=_acknowledged(history),
        confirmed=_confirmed(history),
        tips=history.tips(),
        pending=tuple(line.id for line in history.pending),
        off_seq=_came_off(kind, history, marks),
        round=_rounds(kind, history, marks),
        last_seq=max((line.seq for line in known), default=0),
        amounts=amounts_of(history) if kind is Kind.FLUID else Amounts(),
    )


def _act(line: Line) -> Act:
    """Return the act of a line that says one."""
    return cast("Act", line.record.act)


def _about(lines: Iterable[Line], n: int) -> list[Line]:
    return [line for line in lines if (named := line.record.pos) is None or n in named]


def _position(
    kind: Kind, n: int, history: History, marks: list[Line], counts: list[Line], closing: int
) -> PositionState:
    here = _about(marks, n)
    good = [line for line in here if not _is_check(line) or _check_holds(kind, line, here, history, closing)]
    refused = len(good) < len(here) and any(
        _is_check(line) and line not in good for line in history.heads(here)
    )
    heads = history.heads(good)
    looks = [line for line in heads if _is_check(line)]
    work = [line for line in heads if not _is_check(line)]
    below = work + [line for look in looks for line in _checked_work(look, here, history)]
    acts = {(line.record.act, line.record.stage) for line in below}
    opened = history.heads(line for line in here if line.record.act is opening_act(kind))
    piece = register(history, "piece", Register(), _this_round(_about(counts, n), opened, history))
    if not heads:
        return PositionState(
            n, lines=piece.lines, disagree=piece.disagree, piece=piece.value, refused_check=refused
        )
    ids = tuple(line.id for line in heads)
    if len(acts) > 1 or piece.disagree:
        return PositionState(n, lines=ids, disagree=True, piece=piece.value, refused_check=refused)
    last = max(below, key=lambda line: line.id)
    act = Act.CHECKED if looks else last.record.act
    look = looks[0] if looks else None
    return PositionState(
        n,
        act=act,
        stage=last.record.stage,
        lines=ids,
        person=last.person,
        checker=look.person if look else "",
        alone=bool(look and look.record.alone),
        looked_in=max((each.record.round for each in looks), default=1),
        reached=last.record.reached,
        wrench=last.record.wrench,
        told=last.record.told,
        setting=last.record.setting,
        piece=piece.value,
        refused_check=refused,
        via=_via(here, opened, history),
    )


def _this_round(counts: list[Line], opened: Sequence[Line], history: History) -> list[Line]:
    """Return the counts that still hold: a piece renewed before it came off again is an old piece now."""
    return [
        line
        for line in counts
        if line.record.piece != "renewed" or not any(history.saw(off.id, line.id) for off in opened)
    ]


def _via(here: list[Line], opened: Sequence[Line], history: History) -> str:
    """Return the newest code read on the other half since it last came off."""
    read = [line for line in here if line.record.via]
    since = [line for line in read if not any(history.saw(off.id, line.id) for off in opened)]
    heads = history.heads(since)
    return heads[-1].record.via if heads else ""


def _is_check(line: Line) -> bool:
    return line.record.act is Act.CHECKED


def _checked_work(look: Line, here: list[Line], history: History) -> tuple[Line, ...]:
    """Return the work that a second look looked at: the newest marks that its writer had seen."""
    return history.heads(line for line in here if not _is_check(line) and history.saw(look.id, line.id))


def _check_holds(kind: Kind, look: Line, here: list[Line], history: History, closing: int) -> bool:
    """Tell whether a second look counts: on closed work, by another person or as a look again, alone."""
    work = _checked_work(look, here, history)
    if not work or not look.person:
        return False
    closed = all(rung(kind, _act(line)) >= closing for line in work)
    others = all(line.person and line.person != look.person for line in work)
    return closed and (others or look.record.alone)


def register(history: History, key: str, empty: Register, lines: list[Line] | None = None) -> Register:
    """Return the value that a subject's lines give to one key of their bodies.

    Args:
        history: The subject's lines.
        key: A field of the bodies, such as `destiny` or `place`.
        empty: What holds where no line says anything.
        lines: Which of them to read; by default all in force that have the key.
    """
    if lines is None:
        lines = [line for line in history.in_force if getattr(line.record, key) is not None]
    heads = history.heads(lines)
    if not heads:
        return empty
    ids = tuple(line.id for line in heads)
    values = {str(getattr(line.record, key)) for line in heads}
    if len(values) > 1:
        return Register(lines=ids, disagree=True)
    return Register(values.pop(), heads[-1].record.reason, ids)


def _acknowledged(history: History) -> tuple[Acknowledged, ...]:
    """Return what was acknowledged, in the order of the lines."""
    return tuple(
        Acknowledged(line.record.caution, line.record.torque, line.person)
        for line in history.in_force
        if isinstance(line.record, Acknowledge)
    )


def _confirmed(history: History) -> tuple[Confirmed, ...]:
    """Return which readings were confirmed, in the order of the lines."""
    return tuple(
        Confirmed(line.record.torque, line.record.reading, line.person, line.at)
        for line in history.in_force
        if isinstance(line.record, Confirm)
    )


def _came_off(kind: Kind, history: History, marks: list[Line]) -> int:
    """Return when it came off in its latest round, by arrival; 0 where it never did.

    The first opening line of the round counts: what was put aside afterwards did not come off again. What was
    born on the way back never did, though its line is open from the start.
    """
    opening = [line for line in marks if rung(kind, _act(line)) == 0 and not line.record.born]
    upward = [line for line in marks if rung(kind, _act(line)) > 0]
    seen = {line.id: sum(history.saw(line.id, up.id) for up in upward) for line in opening}
    latest = max(seen.values(), default=0)
    return min((line.seq for line in opening if seen[line.id] == latest), default=0)


def _rounds(kind: Kind, history: History, marks: list[Line]) -> int:
    """Count how often it came off: once, and once more for each opening after it had gone up its ladder."""
    opening = [line for line in marks if line.record.act is opening_act(kind)]
    upward = [line for line in marks if rung(kind, _act(line)) > 0]
    again = [line for line in opening if any(history.saw(line.id, up.id) for up in upward)]
    return 1 + len(again)
