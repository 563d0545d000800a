"""What the fields of bodies may hold."""

from collections.abc import Collection
from typing import Any

from app.core.ids import is_id
from app.core.items.bodies.base import Body, Rule
from app.core.items.kinds import Act, Kind
from app.core.problem import Problem
from app.core.threads.positions import read_lengths

MOST_POSITIONS = 999
MOST_ROUNDS = 99
MOST_STAGES = 99
LONGEST_TEXT = 500
MOST_LITRES = 200.0


def is_amount(value: object) -> bool:
    """Tell whether this is a number above 0 and up to 200 [l]."""
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value <= MOST_LITRES


def is_count(value: object, low: int, high: int) -> bool:
    """Tell whether this is a whole number within limits."""
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def text(longest: int = LONGEST_TEXT) -> Rule:
    """Return the rule of a text of so many characters at most."""
    return Rule(lambda value: isinstance(value, str) and len(value) <= longest, str)


def word(words: Collection[str]) -> Rule:
    """Return the rule of one word out of some."""
    return Rule(lambda value: isinstance(value, str) and value in words, str)


def count(low: int, high: int) -> Rule:
    """Return the rule of a whole number."""
    return Rule(lambda value: is_count(value, low, high), int)


def or_null(rule: Rule) -> Rule:
    """Return the rule of something that may also be said to be nothing."""
    return Rule(
        lambda value: value is None or rule.holds(value),
        lambda value: None if value is None else rule.read(value),
        lambda value: None if value is None else rule.store(value),
    )


def many(rule: Rule) -> Rule:
    """Return the rule of a list."""
    return Rule(
        lambda value: isinstance(value, list | tuple) and all(map(rule.holds, value)),
        lambda value: tuple(map(rule.read, value)),
        lambda value: [rule.store(each) for each in value],
    )


def named(rule: Rule) -> Rule:
    """Return the rule of an object all of whose values follow another."""
    return Rule(
        lambda value: isinstance(value, dict) and all(map(rule.holds, value.values())),
        lambda value: {name: rule.read(each) for name, each in value.items()},
        lambda value: {name: rule.store(each) for name, each in value.items()},
    )


def records(body: type[Body]) -> Rule:
    """Return the rule of a list of what has fields of its own."""
    return many(
        Rule(
            lambda value: isinstance(value, dict) and body.check(value) is None,
            body.read,
            lambda value: value.stored(),
        )
    )


def _positions(value: Any) -> tuple[int, ...] | None:
    return tuple(value) if isinstance(value, list | tuple) else None


def _are_positions(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(is_count(n, 1, MOST_POSITIONS) for n in value)


def _are_lengths(value: Any) -> bool:
    short = isinstance(value, str) and len(value) <= LONGEST_TEXT
    return short and not isinstance(read_lengths(value, 0), Problem)


ACT = Rule(lambda value: isinstance(value, str) and value in set(Act), Act, str)
KIND = Rule(lambda value: isinstance(value, str) and value in set(Kind), Kind, str)
POSITIONS = Rule(_are_positions, _positions, list)
LENGTHS = Rule(_are_lengths, str)
LITRES = Rule(is_amount, float)
NUMBER = Rule(lambda value: isinstance(value, int | float) and not isinstance(value, bool))
WHOLE = Rule(lambda value: isinstance(value, int) and not isinstance(value, bool))
TICK = Rule(lambda value: isinstance(value, bool), bool)
TICKED = Rule(lambda _: True, bool)
ID = Rule(is_id, str)
ID_OR_NONE = Rule(lambda value: value == "" or is_id(value), str)
TEXT = Rule(lambda value: isinstance(value, str), str)
OBJECT = Rule(lambda value: isinstance(value, dict), dict, dict)
ANYTHING = Rule(lambda _: True)
TEXTS = many(TEXT)
EXCEPTION = Rule(lambda value: isinstance(value, list | tuple) and len(value) == 4, tuple, list)  # noqa: PLR2004 - four parts
