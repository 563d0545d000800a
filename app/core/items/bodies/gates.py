"""What is said of a gate, and of a build as a whole."""

from dataclasses import dataclass
from typing import Any, ClassVar

from app.core.items.bodies.base import Body, Rule, key
from app.core.items.bodies.rules import ANYTHING, MOST_ROUNDS, TEXTS, TICKED, count, text

LONGEST_TEXT = 400
LONGEST_KM = 7  # digits of a counter


def is_km(value: object) -> bool:
    """Tell whether this is the reading of a counter in whole km, or the empty text where nobody read it."""
    if not isinstance(value, str):
        return False
    return not value or (value.isascii() and value.isdigit() and len(value) <= LONGEST_KM)


_LONG = Rule(lambda value: isinstance(value, str) and len(value) <= LONGEST_TEXT, str)
_SHORT = text()


@dataclass(frozen=True, slots=True)
class Answer(Body):
    """A question of a gate is answered, or (`anew`) all of it is begun again.

    `seen` are the lines that the answer speaks of, as the writer saw them; `round` is that of the engine.
    """

    VERB: ClassVar[str] = "answer"
    NEEDS_ONE: ClassVar[tuple[str, ...]] = ("question", "anew")
    gate: str = key(_SHORT, "")
    question: str = key(
        Rule(lambda value: isinstance(value, str) and 0 < len(value) <= LONGEST_TEXT, str), ""
    )
    value: Any = key(ANYTHING)
    anew: bool = key(TICKED, default=False)
    seen: tuple[str, ...] | None = key(TEXTS)
    round: int = key(count(1, MOST_ROUNDS), 1)


@dataclass(frozen=True, slots=True)
class Pass(Body):
    """A gate is passed: with `open` as it stood on the screen, and why the writer goes on.

    `asked` are the questions that were on the page; `round` is that of the engine.
    """

    VERB: ClassVar[str] = "pass"
    NEEDS: ClassVar[tuple[str, ...]] = ("open",)
    gate: str = key(_SHORT, "")
    open: tuple[str, ...] = key(TEXTS, ())
    reason: str = key(_LONG, "")
    asked: tuple[str, ...] | None = key(TEXTS)
    round: int = key(count(1, MOST_ROUNDS), 1)


@dataclass(frozen=True, slots=True)
class Start(Body):
    """The engine was started: on a day (ISO 8601), at so many km where somebody read them off."""

    VERB: ClassVar[str] = "start"
    gate: str = key(_SHORT, "")
    on: str = key(_SHORT, "")
    km: str = key(_SHORT, "")


@dataclass(frozen=True, slots=True)
class Recheck(Body):
    """Somebody asks for something to be looked at again: by a day, or at so many km."""

    VERB: ClassVar[str] = "recheck"
    gate: str = key(_SHORT, "")
    text: str = key(Rule(lambda value: isinstance(value, str), str), "")
    due: str = key(_SHORT, "")
    km: str = key(_SHORT, "")


@dataclass(frozen=True, slots=True)
class Stop(Body):
    """Work stops here; the note is for whoever comes next."""

    VERB: ClassVar[str] = "stop"
    note: str | None = key(_LONG)
