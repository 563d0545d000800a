"""Many lines and rows written at once: each subject is folded once, with all its lines."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import insert
from sqlalchemy.orm import Session

from app.core.consistency.times import times_of
from app.core.items.bodies.base import Body
from app.core.items.items import Item
from app.core.items.journal import Line
from app.core.items.state import fold
from app.core.ledger.ledger import work_act
from app.store.db.models import Base, ItemStateRow, JournalRow
from app.store.journal import last_seq, store_state
from app.store.plan.builds import Writer


@dataclass(slots=True)
class Pen:
    """Collects lines and writes them at once: each subject is folded once, with all its lines."""

    session: Session
    build: str
    writer: Writer
    now: str
    lines: list[Line]
    about: dict[str, Item] = field(default_factory=dict)

    def say(self, subject: str, verb: str, body: Mapping[str, Any], after: Sequence[str] = ()) -> str:
        """Keep a line, and return its id."""
        line = replace(self.writer.line(subject, verb, dict(body)), after=frozenset(after))
        self.lines.append(line)
        return line.id

    def write(self, subject: str, said: Body, after: Sequence[str] = ()) -> str:
        """Keep a line that says what a record holds, and return its id."""
        return self.say(subject, said.VERB, said.stored(), after)

    def finish(self) -> None:
        """Write the lines and the states that follow from them."""
        self.session.flush()
        first = last_seq(self.session) + 1
        numbered = [replace(line, seq=first + n) for n, line in enumerate(self.lines)]
        insert_all(self.session, JournalRow, (self._row(line) for line in numbered))
        by_subject: dict[str, list[Line]] = defaultdict(list)
        for line in numbered:
            by_subject[line.subject].append(line)
        insert_all(
            self.session, ItemStateRow, (self._state(s, i, by_subject[s]) for s, i in self.about.items())
        )

    def _row(self, line: Line) -> dict[str, Any]:
        return {
            "seq": line.seq,
            "id": line.id,
            "build_id": self.build,
            "subject": line.subject,
            "verb": line.verb,
            "body": dict(line.body),
            "v": line.record.VERSION,
            "after": sorted(line.after),
            "device": line.device,
            "person": line.person,
            "phone_at": "",
            "server_at": self.now,
        }

    def _state(self, subject: str, item: Item, lines: list[Line]) -> dict[str, Any]:
        state = fold(item.kind, item.positions, lines, work=work_act(item))
        stored = {"state": store_state(state, times_of(item, lines)), "upto_seq": state.last_seq}
        return {"subject": subject, "build_id": self.build, **stored}


def insert_all(session: Session, table: type[Base], rows: Iterable[dict[str, Any]]) -> None:
    """Write many rows of one table."""
    if values := list(rows):
        session.execute(insert(Base.metadata.tables[table.__tablename__]), values)
