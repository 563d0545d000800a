"""What the journal says of a build as a whole: its milestones, and what people answered and accepted."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.consistency.findings import FindingAnswer
from app.core.gates.facts import Acceptance
from app.core.items.bodies.acts import Undo
from app.core.items.bodies.milestones import Accept, Explain
from app.core.items.journal import History, Line
from app.core.phases.milestones import MILESTONE_VERBS, SETTLE
from app.store.db.models import Device, JournalRow
from app.store.journal import as_line

OWNER = "owner"
_VERBS = (*sorted(MILESTONE_VERBS), SETTLE, Undo.VERB)


def milestone_lines(session: Session, build_id: str) -> tuple[Line, ...]:
    """Return a build's milestones, what settles them and what takes them back, oldest first.

    What else is said of a build as a whole is left out, and what they had seen of it.
    """
    rows = session.scalars(
        select(JournalRow)
        .where(JournalRow.subject == f"build:{build_id}", JournalRow.verb.in_(_VERBS))
        .order_by(JournalRow.seq)
    )
    lines = [as_line(row) for row in rows]
    known = {line.id for line in lines}
    return tuple(replace(line, after=line.after & known) for line in lines)


def finding_answers(session: Session, build_id: str) -> tuple[FindingAnswer, ...]:
    """Return what people said about what the judge of sequence asks."""
    found = []
    for line in _in_force(session, build_id, Explain.VERB):
        match line.record:
            case Explain() as said:
                found.append(FindingAnswer(said.finding, line.person, said.reason, said.seen))
    return tuple(found)


def acceptances(session: Session, build_id: str) -> tuple[Acceptance, ...]:
    """Return who accepted which critical things that do not go back as they came off."""
    owners = frozenset(session.scalars(select(Device.id).where(Device.role == OWNER)))
    found = []
    for line in _in_force(session, build_id, Accept.VERB):
        match line.record:
            case Accept() as said:
                item = line.subject.partition(":")[2]
                is_owner = line.device in owners
                day = line.at[:10]
                found.append(Acceptance(item, line.person, is_owner, said.reason, said.seen, day, said.alone))
    return tuple(found)


def _in_force(session: Session, build_id: str, verb: str) -> Iterable[Line]:
    """Yield the lines of a verb in a build that nobody took back."""
    of_verb = select(JournalRow.subject).where(JournalRow.build_id == build_id, JournalRow.verb == verb)
    subjects = set(session.scalars(of_verb))
    rows = session.scalars(
        select(JournalRow).where(JournalRow.subject.in_(subjects)).order_by(JournalRow.seq)
    )
    by_subject: dict[str, list[Line]] = defaultdict(list)
    for row in rows:
        by_subject[row.subject].append(as_line(row))
    for lines in by_subject.values():
        yield from (line for line in History(lines).in_force if line.verb == verb)
