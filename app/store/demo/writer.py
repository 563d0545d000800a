"""The invented crew, writing the journal line by line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy.orm import Session

from app.core.items.journal import History, Line
from app.core.problem import Problem
from app.store.db.clock import new_id, stamp
from app.store.journal import append, lines_of
from app.store.plan.builds import Writer
from app.store.plan.items import set_edges

BETWEEN_LINES = timedelta(minutes=3)

Data = Mapping[str, Any]


@dataclass(slots=True)
class DemoWriter:
    """Writes the journal as the invented crew would have written it.

    Args:
        at: The time of the next line.
        crew: Name -> person and device.
        subjects: Key of the data -> subject.
    """

    session: Session
    build: str
    at: datetime
    crew: Mapping[str, Writer]
    steps: Mapping[str, str]
    subjects: dict[str, str] = field(default_factory=dict)

    def line(self, subject: str, verb: str, body: Data, by: str, after: Sequence[str] = ()) -> Line:
        """Return a line of one of the crew, some minutes after the line before."""
        self.at += BETWEEN_LINES
        who = self.crew[by]
        return Line(
            new_id(), subject, verb, body, frozenset(after), who.person, who.device, 0, stamp(self.at)
        )

    def say(self, key: str, verb: str, body: Data, by: str, *, blind: bool = False) -> Line:
        """Append a line of somebody who had seen all that is there, or, `blind`, all but the last line."""
        seen = lines_of(self.session, self.subjects[key])
        tips = History(seen[:-1] if blind else seen).tips()
        line = self.line(self.subjects[key], verb, body, by, tips)
        append(self.session, line, build_id=self.build, now=line.at)
        return line

    def relate(self, key: str, rel: str, targets: set[str]) -> Problem | None:
        """Write what an item holds, joins, covers or replaces."""
        tips = History(lines_of(self.session, self.subjects[key])).tips()
        line = self.line(self.subjects[key], "edit", {}, self.first, tips)
        return set_edges(self.session, self.id_of(key), rel, targets, line, now=line.at)

    def id_of(self, key: str) -> str:
        """Return the id behind a key; empty for no key."""
        return self.subjects[key].partition(":")[2] if key else ""

    @property
    def first(self) -> str:
        """Who does what nobody in particular does."""
        return next(iter(self.crew))
