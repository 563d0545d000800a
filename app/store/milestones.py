"""What the journal says of a build as a whole: its milestones, and what people answered and accepted."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Snapshot
from app.core.consistency.findings import FindingAnswer
from app.core.gates.facts import Acceptance
from app.core.gates.gates import Start
from app.core.items.bodies.acts import Undo
from app.core.items.bodies.milestones import Accept, Explain
from app.core.items.journal import History, Line
from app.core.phases.milestones import MILESTONE_VERBS, SETTLE, Verb
from app.core.phases.proposed import Proposal
from app.store.db.models import Device, JournalRow
from app.store.journal import append, as_line
from app.store.plan.builds import Writer

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
    """Return who accepted, each on their own phone, which critical things do not go back as they came off.

    What was said for somebody on another's phone is kept in the journal and counts for nothing here.
    """
    crew = {device.id: device for device in session.scalars(select(Device))}
    found = []
    for line in _in_force(session, build_id, Accept.VERB):
        own = crew.get(line.device)
        match line.record:
            case Accept() as said if own is not None and own.person_id == line.person:
                item = line.subject.partition(":")[2]
                is_owner = own.role == OWNER
                day = line.at[:10]
                found.append(Acceptance(item, line.person, is_owner, said.reason, said.seen, day, said.alone))
    return tuple(found)


def tell_proposed(
    session: Session,
    build: Snapshot,
    found: Iterable[Proposal],
    starts: Iterable[Start],
    *,
    writer: Writer,
    now: str,
) -> None:
    """Write down milestones that seem to have been and were confirmed, each after the one before.

    Args:
        session: Of a unit of work.
        build: As it stands.
        found: First to last.
        starts: Those that were told to the gate: a first start was on the day of the first of them.
        writer: Who confirms.
        now: The server's time.
    """
    started = min(starts, key=lambda start: start.on, default=None)
    after = History(build.milestones).tips()
    for each in found:
        said: dict[str, Any] = {"units": sorted(each.milestone.units)}
        if each.milestone.verb is Verb.FIRST_START and started:
            said |= {"on": started.on} | ({"km": started.km} if started.km else {})
        line = writer.line(f"build:{build.id}", each.milestone.verb.value, said)
        append(session, replace(line, after=frozenset(after), at=now), build_id=build.id, now=now)
        after = (line.id,)


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
