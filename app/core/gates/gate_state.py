"""A gate as it stands: what it sees, what it asks, and whether it is passed with nothing open since."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Generic

from app.core.gates.answered import LedgerAnswer, has_lapsed, spoken_of
from app.core.gates.by_phase import GateLook, OpenLine, lines_for
from app.core.gates.departures import Departure
from app.core.gates.facts import BuildFacts
from app.core.gates.gates import Asked, Gate, GateFacts, ask
from app.core.gates.measured import Question
from app.core.items.roles import Role
from app.core.ledger.ledger import L


@dataclass(frozen=True, slots=True)
class GateState(Generic[L]):
    """A gate as it stands.

    Args:
        look: What it sees of the build.
        questions: What it asks of people, each with what was answered.
        facts: What it was told.
        missing: Roles that it goes by and no step of the plan has.
        is_blind: Nobody said how the engine leaves and comes back: what it sees is no more than likely.
        needed: Of the missing roles those without which it cannot tell which lines are its own.
        unread: Groups whose torque is read from a print in a way that nobody has confirmed.
    """

    gate: Gate
    look: GateLook[L]
    questions: tuple[Asked, ...]
    facts: GateFacts
    missing: tuple[Role, ...] = ()
    is_blind: bool = False
    needed: tuple[Role, ...] = ()
    unread: tuple[L, ...] = ()

    @property
    def lines(self) -> tuple[L, ...]:
        """The lines of the ledger that keep it shut."""
        return tuple(each.line for each in self.look.lines)

    @property
    def open_lines(self) -> tuple[OpenLine[L], ...]:
        """The same, each with why."""
        return self.look.lines

    @property
    def unanswered(self) -> tuple[Asked, ...]:
        """The questions that keep it shut."""
        return tuple(each for each in self.questions if each.is_open)

    @property
    def denied(self) -> tuple[LedgerAnswer, ...]:
        """What the ledger answers with no, where no line says so already."""
        listed = {each.line.item.id for each in self.look.lines}
        return tuple(a for a in self.look.answered if not a.is_yes and not listed & set(a.because))

    @property
    def unaccepted(self) -> tuple[Departure, ...]:
        """Critical things that do not go back as they came off, which somebody has yet to accept."""
        return tuple(each for each in self.look.departures if each.missing)

    @property
    def open_ids(self) -> tuple[str, ...]:
        """All that keeps it shut, as a pass names it."""
        return tuple(self._open_ids())

    def _open_ids(self) -> Iterator[str]:
        if self.is_blind:
            yield "route"
        yield from (f"role {role.value}" for role in self.needed)
        yield from (each.line.item.id for each in self.look.lines)
        yield from (each.question.key for each in self.unanswered)
        yield from (f"reading {line.item.id}" for line in self.unread)
        yield from (f"ledger {each.question}" for each in self.denied)
        yield from (f"accept {each.item}" for each in self.unaccepted)
        yield from (f"first {word}" for word in self.look.missing)
        yield from (f"differ {':'.join(each.about)}" for each in self.look.disputes)
        yield from (f"untrue {each.event.lines[0]}" for each in self.look.untrue)

    @property
    def count(self) -> int:
        """How much keeps it shut."""
        return len(self.open_ids)

    @property
    def is_passed(self) -> bool:
        """Whether somebody passed it in this round, whatever was open."""
        return bool(self.facts.passes)

    @property
    def is_green(self) -> bool:
        """Whether it was passed with nothing open, and nothing has opened since."""
        clean = [each for each in self.facts.passes if each.line in self.facts.newest]
        return not self.count and bool(clean) and not any(each.open for each in clean)

    @property
    def word(self) -> str:
        """Return "green", "ready" (nothing open, not yet passed) or "open"."""
        return "green" if self.is_green else "open" if self.count else "ready"


def gate_state(
    gate: Gate,
    facts: BuildFacts[L],
    *,
    missing: tuple[Role, ...] = (),
    is_blind: bool = False,
    needed: tuple[Role, ...] = (),
) -> GateState[L]:
    """Return a gate as it stands.

    Args:
        gate: Which.
        facts: The build as this gate sees it.
        missing: Roles that it goes by and no step has.
        is_blind: Whether nobody said how the engine leaves and comes back.
        needed: Of the missing roles those without which it stays shut.
    """
    look = lines_for(gate, facts)
    spoken = spoken_of(facts.lines)
    questions = tuple(_asked(question, facts.told, spoken.get(question.key, ())) for question in look.asked)
    return GateState(gate, look, questions, facts.told, missing, is_blind, needed)


def _asked(question: Question, told: GateFacts, seen: tuple[str, ...]) -> Asked:
    answer = told.answers.get(question.key)
    lapsed = answer is not None and has_lapsed(answer, seen)
    return ask(question, told, has_lapsed=lapsed, seen=seen)
