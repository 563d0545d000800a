"""The journal's lines, and what is in force among the lines of one subject.

A line names the lines that its writer had on the screen (`after`). That, and nothing else, says what
came before what: neither clocks nor the order of arrival decide.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from heapq import heappop, heappush
from typing import Any

from app.core.items.bodies.acts import Undo
from app.core.items.bodies.base import Body
from app.core.items.bodies.reading import read_body


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the journal.

    Args:
        id: Made by the writer's device, 32 hexadecimal digits.
        subject: `item:…`, `step:…`, `place:…`, `tag:…`, `photo:…`, `gate:…` or `build:…`.
        verb: One of `bodies.reading.VERBS`.
        body: What the verb says, in the form in which it is stored; `record` is read from it once.
        after: Ids of the subject's lines that the writer had seen last.
        person: Who did it; not whose phone it is.
        device: Whose phone it is.
        seq: The order of arrival, for display only; 0 where not yet stored.
        at: The writer's clock, for display only.
    """

    id: str
    subject: str
    verb: str
    body: Mapping[str, Any] = field(default_factory=dict)
    after: frozenset[str] = frozenset()
    person: str = ""
    device: str = ""
    seq: int = 0
    at: str = ""
    _record: Body | None = field(default=None, init=False, repr=False, compare=False)

    @property
    def record(self) -> Body:
        """What the line says, as the record of its verb."""
        known = self._record
        if known is None:
            known = read_body(self.verb, self.subject, self.body)
            object.__setattr__(self, "_record", known)
        return known


class History:
    """The lines of one subject, in the order that `after` gives them.

    Args:
        lines: Lines of one subject, in any order, with any repetition.

    `pending` are lines that name a line which has not come yet (or each other, in a circle): they are
    kept and shown, but nothing follows from them until what they name is here.
    """

    def __init__(self, lines: Iterable[Line]) -> None:
        by_id = {line.id: line for line in lines}
        self._ancestors = _ancestors(by_id)
        self._index = {line_id: i for i, line_id in enumerate(self._ancestors)}
        self.lines = tuple(by_id[line_id] for line_id in self._ancestors)
        self.pending = tuple(by_id[line_id] for line_id in sorted(by_id) if line_id not in self._ancestors)
        undone = _undone(self.lines)
        self.undone = frozenset(undone)
        self.in_force = tuple(line for line in self.lines if line.id not in undone and line.verb != Undo.VERB)

    def saw(self, later: str, earlier: str) -> bool:
        """Tell whether the writer of one line had seen the other, directly or through others."""
        return bool(self._ancestors[later] >> self._index[earlier] & 1)

    def heads(self, lines: Iterable[Line]) -> tuple[Line, ...]:
        """Return those of the lines that none of the others had seen, sorted by id."""
        some = tuple(lines)
        seen = 0
        for line in some:
            seen |= self._ancestors[line.id]
        return tuple(sorted((x for x in some if not seen >> self._index[x.id] & 1), key=lambda x: x.id))

    def tips(self) -> tuple[str, ...]:
        """Return the ids that a next line names as `after`: all that nobody has built upon yet."""
        return tuple(line.id for line in self.heads(self.lines))


def _ancestors(by_id: Mapping[str, Line]) -> dict[str, int]:
    """Return, parents first, each line's ancestors as bits; lines whose parents are absent are left out."""
    waits_on = {line_id: set(by_id[line_id].after) for line_id in sorted(by_id)}
    children: dict[str, list[str]] = {}
    for line_id, parents in waits_on.items():
        for parent in parents:
            children.setdefault(parent, []).append(line_id)
    ready = sorted(line_id for line_id, parents in waits_on.items() if not parents)
    found: dict[str, int] = {}
    position: dict[str, int] = {}
    while ready:
        line_id = heappop(ready)
        bits = 0
        for parent in by_id[line_id].after:
            bits |= found[parent] | 1 << position[parent]
        position[line_id] = len(found)
        found[line_id] = bits
        for child in children.get(line_id, ()):
            waits_on[child].discard(line_id)
            if not waits_on[child]:
                heappush(ready, child)
    return found


def _undone(lines: tuple[Line, ...]) -> set[str]:
    """Return the ids of lines that an undo in force names; an undo can itself be undone."""
    names = {
        line.id: line.record.line
        for line in lines
        if line.verb == Undo.VERB and isinstance(line.record, Undo)
    }
    undecided = Counter(names.values())
    decided = [line_id for line_id in names if not undecided[line_id]]
    undone: set[str] = set()
    while decided:
        undo = decided.pop()
        named = names[undo]
        if undo not in undone:
            undone.add(named)
        undecided[named] -= 1
        if named in names and not undecided[named]:
            decided.append(named)
    undone |= {
        undo for undo in names if undecided[undo]
    }  # undos that name each other in a circle undo nothing
    return {line.id for line in lines if line.id in undone}
