"""Gates: what must be shut and answered before an act that cannot be undone, and who passed them.

A gate looks at what must be done before its act (`app.core.gates.by_phase`) and asks questions of its own.
What a gate is told (answers, passes, starts) are lines of the journal like any other; whether it is green is
never stored.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from app.core.gates.measured import Question, answer_problem
from app.core.items.bodies.gates import Answer, Recheck
from app.core.items.bodies.gates import Pass as PassBody
from app.core.items.bodies.gates import Start as StartBody
from app.core.items.journal import History, Line
from app.core.items.roles import Role
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
        title: Such as "Before it rises".
        act: The act that it stands before.
        questions: What it asks besides.
        cautions: Keys of the cautions that belong on its page.
        needs: Roles of steps that it goes by.
    """

    key: str
    title: str
    act: str
    questions: tuple[Question, ...] = ()
    cautions: tuple[str, ...] = ()
    needs: tuple[Role, ...] = ()


def read_gate(stored: Mapping[str, Any]) -> Gate:
    """Return a gate from its stored form."""
    questions = tuple(
        Question(**(each | {"units": tuple(each.get("units", ()))})) for each in stored["questions"]
    )
    plain = {key: stored[key] for key in ("key", "title", "act")}
    needs = tuple(Role(each) for each in stored.get("needs", ()))
    return Gate(**plain, questions=questions, cautions=tuple(stored.get("cautions", ())), needs=needs)


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
    """A gate passed by a person: `open` is what was open on their screen, and `reason` why they went on.

    `asked` are the questions that were on it; `None` in folders of earlier versions.
    """

    line: str
    person: str
    at: str
    open: tuple[str, ...] = ()
    reason: str = ""
    asked: tuple[str, ...] | None = None


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


def fold_gate(lines: Iterable[Line], nth: int = 1) -> GateFacts:
    """Return what holds of a gate from its lines, in any order, repeated or not.

    Args:
        lines: About the gate.
        nth: The round of the engine: what was said in an earlier one holds no longer.
    """
    history = History(lines)
    current = [line for line in _since_anew(history) if _outlives(line) or _round(line) >= nth]
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


def _round(line: Line) -> int:
    return line.record.round if isinstance(line.record, Answer | PassBody) else 1


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
        Pass(line.id, line.person, line.at, said.open, said.reason, said.asked)
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
    """A question with what was answered; `problem` says what is wrong with the answer.

    `seen` are the lines of things that an answer given now speaks of.
    """

    question: Question
    answer: GateAnswer | None
    problem: Problem | None
    seen: tuple[str, ...] = ()

    @property
    def is_open(self) -> bool:
        """Whether it keeps the gate shut."""
        return self.answer is None or self.problem is not None


_DISAGREE = Problem("disagree", "Two people answered differently. Answer it again.")
_LAPSED = Problem("lapsed", "Something that this answer speaks of has changed since. Answer it again.")


def ask(
    question: Question, facts: GateFacts, *, has_lapsed: bool = False, seen: tuple[str, ...] = ()
) -> Asked:
    """Return a question as it stands.

    Args:
        question: Which.
        facts: What the gate was told.
        has_lapsed: Whether something that the answer speaks of has changed since.
        seen: The lines that an answer given now speaks of.
    """
    answer = facts.answers.get(question.key)
    if answer is None:
        return Asked(question, None, None, seen)
    if answer.disagree:
        return Asked(question, answer, _DISAGREE, seen)
    problem = answer_problem(question, answer.value) or (_LAPSED if has_lapsed else None)
    return Asked(question, answer, problem, seen)


def stays_off(facts: GateFacts) -> frozenset[str]:
    """Return the ids of what was named to stay off at a trial start."""
    answer = facts.answers.get(STAYS_OFF)
    named = answer.value if answer else ()
    return frozenset(map(str, named)) if isinstance(named, list | tuple) else frozenset()


def clear_key(item_id: str) -> str:
    """Return the question whether something tied back is clear of the lift."""
    return f"clear:{item_id}"
