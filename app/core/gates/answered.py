"""Which questions of a gate the ledger answers, which are asked of people, and when an answer lapses."""

import re
from collections.abc import Callable, Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from app.core.gates.facts import BuildFacts
from app.core.gates.gates import Gate, GateAnswer
from app.core.gates.measured import Question
from app.core.items.items import Item
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Role
from app.core.ledger.ledger import L, LedgerLine
from app.core.phases.routes import mates_in_vehicle

ASKED_AT_FIRST: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "lift": frozenset(
            {"walk_round", "gearbox_propped", "converter_held", "weight", "eye_bolts", "chain"}
            | {"stands_strapped", "people"}
        ),
        "mating": frozenset({"dowels", "pilot", "converter_depth", "harness_clear", "turns"}),
        "trial": frozenset(
            {"named", "primed", "fuel_tight", "extinguisher", "second_person", "neutral", "exhaust_out"}
        ),
        "start": frozenset(
            {"temporaries", "fluids", "primed", "fuel_tight", "battery_last", "belts_free", "extinguisher"}
            | {"second_person", "neutral"}
        ),
        "move": frozenset(
            {
                "brakes",
                "steering",
                "axle_nuts",
                "wheel_nuts",
                "throttle",
                "selector",
                "leaks",
                "hood",
                "papers",
            }
        ),
    }
)
"""What each gate asked before a pass said what had been on its page."""

_SPEAKS_OF: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {
        "primed": re.compile(r"\b(?:engine oil|oil filter|oil drain|oil pump|oil cooler)"),
        "fuel_tight": re.compile(r"\bfuel"),
        "battery_last": re.compile(r"\b(?:battery|ground|earth)"),
        "belts_free": re.compile(r"\b(?:belt|throttle|linkage|fan)"),
        "dowels": re.compile(r"\bdowel"),
        "pilot": re.compile(r"\bpilot"),
        "converter_depth": re.compile(r"\bconverter"),
        "converter_held": re.compile(r"\bconverter"),
        "gearbox_propped": re.compile(r"\bprop\b"),
        "brakes": re.compile(r"\bbrake"),
        "steering": re.compile(r"\b(?:steering|tie rod|rack)"),
        "axle_nuts": re.compile(r"\baxle nut"),
        "wheel_nuts": re.compile(r"\bwheel (?:nut|bolt|lug)"),
        "throttle": re.compile(r"\bthrottle"),
        "selector": re.compile(r"\b(?:selector|shift|linkage)"),
        "hood": re.compile(r"\b(?:hood|bonnet)"),
    }
)
"""The things that an answer speaks of: it lapses when one of them changes (common practice)."""


@dataclass(frozen=True, slots=True)
class LedgerAnswer:
    """What the ledger answers to a question, and the things by which."""

    question: str
    is_yes: bool
    because: tuple[str, ...] = ()


def answered_by_ledger(gate: Gate, facts: BuildFacts[L]) -> tuple[LedgerAnswer, ...]:
    """Return what the ledger answers; where it knows nothing of the matter it answers nothing."""
    asked = (question.key for question in gate.questions if question.key in _BY_LEDGER)
    found = (_BY_LEDGER[key](facts) for key in asked)
    return tuple(answer for answer in found if answer)


def _temporaries(facts: BuildFacts[L]) -> LedgerAnswer | None:
    there = [line for line in facts.lines if line.item.kind is Kind.TEMPORARY]
    return _closed("temporaries", there, facts)


def _fluids(facts: BuildFacts[L]) -> LedgerAnswer | None:
    return _closed(
        "fluids", [line for line in facts.lines if line.item.kind is Kind.FLUID], facts, Act.FILLED
    )


def _dowels(facts: BuildFacts[L]) -> LedgerAnswer | None:
    named = re.compile(r"\bdowel")
    there = [
        line for line in facts.lines if line.item.kind is Kind.LOCATOR and named.search(_said(line.item))
    ]
    return _closed("dowels", there, facts) if all(line.item.n for line in there) else None


def _primed(facts: BuildFacts[L]) -> LedgerAnswer | None:
    steps = [
        line
        for line in facts.lines
        if line.item.kind is Kind.STEP and facts.sides.role(line.item) is Role.PRIME
    ]
    return _closed("primed", steps, facts)


def _propped(facts: BuildFacts[L]) -> LedgerAnswer | None:
    if not mates_in_vehicle(facts.sides.out):
        return LedgerAnswer("gearbox_propped", is_yes=True)
    props = [
        line.item.id
        for line in facts.lines
        if line.item.kind is Kind.TEMPORARY and _SPEAKS_OF["gearbox_propped"].search(_said(line.item))
        if line.reasons
    ]
    return LedgerAnswer("gearbox_propped", is_yes=True, because=tuple(props)) if props else None


def _closed(
    key: str, lines: Iterable[LedgerLine], facts: BuildFacts[L], enough: Act | None = None
) -> LedgerAnswer | None:
    """Answer by whether some lines are closed, or at least far enough; no lines, no answer.

    A thing that nobody ever touched closes nothing: the ledger does not know of it.
    """
    known = list(lines)
    if not any(position.act or position.disagree for line in known for position in line.state.positions):
        return None
    still = tuple(
        line.item.id
        for line in known
        if (line.reasons and {each.code for each in line.reasons} != {str(enough)})
        or line.item.id in facts.found
    )
    return LedgerAnswer(key, not still, still or tuple(line.item.id for line in known))


_BY_LEDGER: Mapping[str, Callable[[BuildFacts[L]], LedgerAnswer | None]] = {
    "temporaries": _temporaries,
    "fluids": _fluids,
    "dowels": _dowels,
    "primed": _primed,
    "gearbox_propped": _propped,
}


def asked_of_people(gate: Gate, facts: BuildFacts[L], known: AbstractSet[str]) -> tuple[Question, ...]:
    """Return the questions that only people can answer.

    One that a later version brought is not asked of a gate that stands passed with nothing open.
    """
    clean = any(each.line in facts.told.newest and not each.open for each in facts.told.passes)
    then = facts.asked_then if facts.asked_then is not None else ASKED_AT_FIRST.get(gate.key, frozenset())
    return tuple(
        question
        for question in gate.questions
        if question.key not in known and not (clean and question.key not in then)
    )


def speaks_of(question: str, lines: Iterable[LedgerLine]) -> tuple[str, ...]:
    """Return the tips of all things that an answer speaks of: what is written into it as `seen`."""
    return spoken_of(lines).get(question, ())


def spoken_of(lines: Iterable[LedgerLine]) -> Mapping[str, tuple[str, ...]]:
    """Return for each question the tips of all things that an answer to it speaks of; see `speaks_of`."""
    found: dict[str, list[str]] = {}
    for line in lines:
        for question in _questions_about(_said(line.item)):
            found.setdefault(question, []).extend(line.state.tips)
    return {question: tuple(sorted(tips)) for question, tips in found.items()}


@lru_cache(maxsize=32768)
def _questions_about(said: str) -> tuple[str, ...]:
    return tuple(question for question, pattern in _SPEAKS_OF.items() if pattern.search(said))


def has_lapsed(answer: GateAnswer, now: tuple[str, ...]) -> bool:
    """Tell whether something that an answer speaks of has changed since; one that does not say stands.

    Args:
        answer: As it was given.
        now: The tips of what it speaks of, as they are.
    """
    return answer.seen is not None and tuple(sorted(answer.seen)) != now


def _said(item: Item) -> str:
    return f"{item.name} {item.type}".casefold()
