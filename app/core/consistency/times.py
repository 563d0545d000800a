"""In which order the marks of different things arrived, and within one thing who had seen what."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.core.items.items import Item
from app.core.items.journal import History, Line
from app.core.items.kinds import Act, Kind, rung
from app.core.ledger.ledger import work_act


@dataclass(frozen=True, slots=True)
class Times:
    """When a thing's marks arrived, since it last came off; 0 for what has not been.

    Across things nothing but the order of arrival is known, and a phone may send late: what follows from it
    is asked, never said.

    Args:
        placed: All of it in position.
        worked: Its work done, by the newest mark of the position that was done first.
        closed: Its work done at all positions, each by its first mark.
        renewed_late: Positions whose piece was told to be renewed by somebody who had seen it tight.
        unseen_work: Positions whose second look had not seen the newest work.
    """

    placed: int = 0
    worked: int = 0
    closed: int = 0
    renewed_late: tuple[int, ...] = ()
    unseen_work: tuple[int, ...] = ()


NO_TIMES = Times()
"""Of what was never marked."""


def times_of(item: Item, lines: Iterable[Line]) -> Times:
    """Return the times of an item from its lines, in any order, repeated or not."""
    history = History(lines)
    marks = [line for line in history.in_force if "act" in line.body and _knows(item.kind, line)]
    named = {n for line in marks for n in _positions(line) or ()}
    spare = _spare(history)
    rows = {n: _since_off(item.kind, n, marks, history) for n in range(1, max([item.positions, *named]) + 1)}
    touched = {n: row for n, row in rows.items() if row[0] and n not in spare}
    work = rung(item.kind, work_act(item))
    up = {n: [line for line in row[1] if _rung(item.kind, line) > 0] for n, row in touched.items()}
    done = {n: [line for line in row if _rung(item.kind, line) >= work] for n, row in up.items()}
    return Times(
        _all([min((line.seq for line in row), default=0) for row in up.values()]),
        _all([max((line.seq for line in row), default=0) for row in done.values()], least=True),
        _all([min((line.seq for line in row), default=0) for row in done.values()]),
        tuple(n for n, row in done.items() if _is_renewed_late(n, row, history)),
        tuple(n for n, row in done.items() if _is_unseen(row, history)),
    )


def _all(each: Sequence[int], *, least: bool = False) -> int:
    """Return when the last of them was there, or the first; 0 where one is not, or there are none."""
    return 0 if not each or not all(each) else min(each) if least else max(each)


def _knows(kind: Kind, line: Line) -> bool:
    return str(line.body["act"]) in set(Act) and (kind is not Kind.STEP or line.body["act"] != Act.OFF)


def _rung(kind: Kind, line: Line) -> int:
    return 1 if kind is Kind.STEP else rung(kind, Act(str(line.body["act"])))


def _positions(line: Line) -> Sequence[int] | None:
    named = line.body.get("pos")
    return named if isinstance(named, list | tuple) else None


def _about(n: int, lines: Iterable[Line]) -> list[Line]:
    return [line for line in lines if (named := _positions(line)) is None or n in named]


def _since_off(kind: Kind, n: int, marks: list[Line], history: History) -> tuple[bool, list[Line]]:
    """Return whether a position has any mark, and its marks that no later coming off makes void."""
    here = _about(n, marks)
    opened = [line for line in here if _rung(kind, line) == 0]
    return bool(here), [
        line for line in here if not any(o.id != line.id and history.saw(o.id, line.id) for o in opened)
    ]


def _spare(history: History) -> frozenset[int]:
    said = [line for line in history.in_force if line.body.get("piece") == "spare"]
    return frozenset(n for line in said for n in _positions(line) or ())


def _is_renewed_late(n: int, done: list[Line], history: History) -> bool:
    """Tell whether a piece was renewed after its position was tight, and not tightened since."""
    tight = history.heads(line for line in done if line.body["act"] != Act.CHECKED)
    pieces = _about(n, [line for line in history.in_force if line.body.get("piece") == "renewed"])
    return bool(tight) and any(
        all(line.id != new.id and history.saw(new.id, line.id) for line in tight) for new in pieces
    )


def _is_unseen(done: list[Line], history: History) -> bool:
    work = history.heads(line for line in done if line.body["act"] != Act.CHECKED)
    looks = [line for line in done if line.body["act"] == Act.CHECKED]
    return bool(looks) and not any(all(history.saw(look.id, line.id) for line in work) for look in looks)
