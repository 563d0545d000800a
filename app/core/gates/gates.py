"""Gates: what must be shut and answered before an act that cannot be undone, and who passed them.

A gate is `why_open` over a chosen part of the ledger plus questions of its own. What a gate is told
(answers, passes, starts) are lines of the journal like any other; whether it is green is never stored.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic

from app.core.gates.measured import Question, answer_problem
from app.core.items.bodies.gates import Answer, Recheck
from app.core.items.bodies.gates import Pass as PassBody
from app.core.items.bodies.gates import Start as StartBody
from app.core.items.journal import History, Line
from app.core.items.roles import Role
from app.core.ledger.ledger import L
from app.core.problem import Problem

VERBS = frozenset({"answer", "pass", "start", "recheck"})
"""What a line about a gate can say, besides `undo`."""

STAYS_OFF = "stays_off"
"""The question whose answer is the list of what stays off at a trial start."""


@dataclass(frozen=True, slots=True)
class Gate:
    """A gate as the program brings it.

    Args:
        key: Its name in addresses and lines.
        title: Such as "Before the lift".
        act: The act that it stands before.
        selection: Which part of the ledger it looks at; see `app.core.gates.selections`.
        questions: What it asks besides.
        cautions: Keys of the cautions that belong on its page.
        words, not_words: What names or sorts of its lines say, where the selection goes by words.
        needs: Roles of steps that it goes by.
    """

    key: str
    title: str
    act: str
    selection: str
    questions: tuple[Question, ...] = ()
    cautions: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    not_words: tuple[str, ...] = ()
    needs: tuple[Role, ...] = ()


def read_gate(stored: Mapping[str, Any]) -> Gate:
    """Return a gate from its stored form."""
    lists: dict[str, Any] = {key: tuple(stored.get(key, ())) for key in ("cautions", "words", "not_words")}
    questions = tuple(
        Question(**(each | {"units": tuple(each.get("units", ()))})) for each in stored["questions"]
    )
    plain = {key: stored[key] for key in ("key", "title", "act", "selection")}
    needs = tuple(Role(each) for each in stored.get("needs", ()))
    return Gate(questions=questions, needs=needs, **plain, **lists)


def gate_subject(build: str, key: str) -> str:
    """Return what the journal calls a gate of a build."""
    return "gate:" + hashlib.sha256(f"{build}/gate/{key}".encode()).hexdigest()[:32]


@dataclass(frozen=True, slots=True)
class GateAnswer:
    """What was answered to a question, by whom; `disagree` where two that had not seen each other differ.

    `seen` are the lines of things that it speaks of; `None` in folders of earlier versions.
    """

    value: Any
    person: str = ""
    at: str = ""
    line: str = ""
    disagree: bool = False
    seen: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Pass:
    """A gate passed by a person: `open` is what was open on their screen, and `reason` why they went on."""

    line: str
    person: str
    at: str
    open: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Start:
    """The engine was started: on a day (ISO 8601), at so many km where somebody read them off."""

    line: str
    person: str
    on: str
    km: str = ""


@dataclass(frozen=True, slots=True)
class OwnRecheck:
    """A recheck that somebody of the crew asked for."""

    line: str
    person: str
    text: str
    due: str = ""
    km: str = ""


@dataclass(frozen=True, slots=True)
class GateFacts:
    """All that follows from a gate's lines.

    Args:
        answers: By question.
        passes: In force, newest first.
        newest: Ids of the passes that no other pass had seen.
        earlier: Passes from before the gate was begun anew, newest first.
        starts, rechecks: In force, oldest first.
        tips: What a next line names as `after`.
    """

    answers: Mapping[str, GateAnswer] = field(default_factory=dict)
    passes: tuple[Pass, ...] = ()
    newest: frozenset[str] = frozenset()
    earlier: tuple[Pass, ...] = ()
    starts: tuple[Start, ...] = ()
    rechecks: tuple[OwnRecheck, ...] = ()
    tips: tuple[str, ...] = ()


def fold_gate(lines: Iterable[Line]) -> GateFacts:
    """Return what holds of a gate from its lines, in any order, repeated or not."""
    history = History(lines)
    current = _since_anew(history)
    by_question: dict[str, list[Line]] = {}
    for line in current:
        if isinstance(line.record, Answer) and line.record.question:
            by_question.setdefault(line.record.question, []).append(line)
    passes = _by_arrival(current, "pass")
    earlier = [line for line in _by_arrival(history.in_force, "pass") if line not in passes]
    return GateFacts(
        answers={
            key: answer
            for key, about in by_question.items()
            if (answer := _answer(history.heads(about))).value is not None or answer.disagree
        },
        passes=_passes(reversed(passes)),
        earlier=_passes(reversed(earlier)),
        newest=frozenset(line.id for line in history.heads(passes)),
        starts=_starts(_by_arrival(current, "start")),
        rechecks=_rechecks(_by_arrival(current, "recheck")),
        tips=history.tips(),
    )


def _since_anew(history: History) -> list[Line]:
    """Return the lines in force that nobody has since begun anew over; rechecks outlive that."""
    anew = [line for line in history.in_force if isinstance(line.record, Answer) and line.record.anew]
    return [
        line
        for line in history.in_force
        if _outlives(line) or not any(history.saw(each.id, line.id) for each in anew)
    ]


def _outlives(line: Line) -> bool:
    said = line.record
    return isinstance(said, StartBody | Recheck) or (isinstance(said, Answer) and "/" in said.question)


def _by_arrival(lines: Iterable[Line], verb: str) -> list[Line]:
    return sorted((line for line in lines if line.verb == verb), key=lambda line: line.seq)


def _answer(heads: Sequence[Line]) -> GateAnswer:
    said = {json.dumps(_value(line), sort_keys=True) for line in heads}
    last = max(heads, key=lambda line: line.seq)
    value = None if len(said) > 1 else _value(last)
    seen = last.record.seen if isinstance(last.record, Answer) else None
    return GateAnswer(value, last.person, last.at, last.id, disagree=len(said) > 1, seen=seen)


def _value(line: Line) -> Any:
    return line.record.value if isinstance(line.record, Answer) else None


def _passes(lines: Iterable[Line]) -> tuple[Pass, ...]:
    return tuple(
        Pass(line.id, line.person, line.at, said.open, said.reason)
        for line in lines
        if isinstance(said := line.record, PassBody)
    )


def _starts(lines: Iterable[Line]) -> tuple[Start, ...]:
    return tuple(
        Start(line.id, line.person, said.on or line.at[:10], said.km)
        for line in lines
        if isinstance(said := line.record, StartBody)
    )


def _rechecks(lines: Iterable[Line]) -> tuple[OwnRecheck, ...]:
    return tuple(
        OwnRecheck(line.id, line.person, said.text, said.due, said.km)
        for line in lines
        if isinstance(said := line.record, Recheck)
    )


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with what was answered; `problem` says what is wrong with the answer."""

    question: Question
    answer: GateAnswer | None
    problem: Problem | None

    @property
    def is_open(self) -> bool:
        """Whether it keeps the gate shut."""
        return self.answer is None or self.problem is not None


def ask(question: Question, facts: GateFacts) -> Asked:
    """Return a question as it stands."""
    answer = facts.answers.get(question.key)
    if answer is None:
        return Asked(question, None, None)
    if answer.disagree:
        return Asked(
            question, answer, Problem("disagree", "Two people answered differently. Answer it anew.")
        )
    return Asked(question, answer, answer_problem(question, answer.value))


@dataclass(frozen=True, slots=True)
class GateState(Generic[L]):
    """A gate as it stands.

    Args:
        lines: The open ones it looks at.
        missing: Roles that it goes by and no step of the plan has.
        is_blind: Without them it cannot tell which lines are its own: it stays shut.
    """

    gate: Gate
    lines: tuple[L, ...]
    questions: tuple[Asked, ...]
    facts: GateFacts
    missing: tuple[Role, ...] = ()
    is_blind: bool = False

    @property
    def unanswered(self) -> tuple[Asked, ...]:
        """The questions that keep it shut."""
        return tuple(each for each in self.questions if each.is_open)

    @property
    def count(self) -> int:
        """How many lines and questions keep it shut, and whether it is blind."""
        return len(self.lines) + len(self.unanswered) + self.is_blind

    @property
    def is_passed(self) -> bool:
        """Whether somebody passed it, whatever was open."""
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
