"""A body: a record whose fields say under which keys they are stored and what they may hold."""

from collections.abc import Callable, Mapping
from dataclasses import Field, dataclass, field, fields
from enum import Enum
from typing import Any, ClassVar, Self

from app.core.items.kinds import Act
from app.core.problem import Problem


class Unsaid(Enum):
    """The one value of a field that a line says nothing of, where `None` is something that it can say."""

    UNSAID = "unsaid"


UNSAID = Unsaid.UNSAID


def _as_it_is(value: Any) -> Any:
    return value


@dataclass(frozen=True, slots=True)
class Rule:
    """What a field may hold.

    Args:
        holds: Tells of a stored value whether it can be read.
        read: Gives a stored value its type; it is not judged again.
        store: Gives a value the form in which it is stored.
    """

    holds: Callable[[Any], bool]
    read: Callable[[Any], Any] = _as_it_is
    store: Callable[[Any], Any] = _as_it_is


def key(rule: Rule, default: Any = None, *, was: str = "") -> Any:
    """Return a field of a body.

    Args:
        rule: What it may hold.
        default: What it is where a line says nothing of it; this is not stored.
        was: The key of earlier releases, which is read too.
    """
    return field(default=default, metadata={"rule": rule, "was": was})


class Body:
    """What a line says. The attributes here are those from which the state of things is folded.

    A body that has one of them declares it as a field. The others say nothing.
    """

    __slots__ = ()

    VERB: ClassVar[str] = ""
    VERSION: ClassVar[int] = 1
    NEEDS: ClassVar[tuple[str, ...]] = ()
    """Fields all of which such a line must have."""
    NEEDS_ONE: ClassVar[tuple[str, ...]] = ()
    """Fields without any of which such a line says nothing."""

    act: Act | None = None
    stage: int = 0
    pos: tuple[int, ...] | None = None
    piece: str | None = None
    destiny: str | None = None
    fate: str | None = None
    place: str | None = None
    lengths: str | None = None
    reached: str = ""
    wrench: str = ""
    told: str = ""
    setting: str = ""
    via: str = ""
    half: str = ""
    alone: bool = False
    round: int = 1
    litres: float | None = None
    of: str = ""
    amounts: str = ""
    born: str = ""
    reason: str = ""
    stated: str = ""
    """By whom it says what is known already; empty for a change."""

    @classmethod
    def read(cls, stored: Mapping[str, Any]) -> Self:
        """Return the body from its stored form; keys that this program does not know are passed over."""
        readers = _keys(cls).readers
        return cls(
            **{
                known[0]: known[1](value)
                for name, value in stored.items()
                if (known := readers.get(name)) is not None
            }
        )

    def stored(self) -> dict[str, Any]:
        """Return the form in which it is stored: what it says, without what it says nothing of."""
        return {
            each.name: each.metadata["rule"].store(value)
            for each in _keys(type(self)).fields
            if (value := getattr(self, each.name)) != each.default
        }

    def values(self, *names: str) -> dict[str, Any]:
        """Return those of the fields that it says something of."""
        return {
            each.name: value
            for each in _keys(type(self)).fields
            if each.name in names and (value := getattr(self, each.name)) is not each.default
        }

    @classmethod
    def unknown(cls, stored: Mapping[str, Any]) -> tuple[str, ...]:
        """Return the keys that no release knows of such a line."""
        return tuple(name for name in stored if name not in _keys(cls).readers)

    @classmethod
    def check(cls, stored: Mapping[str, Any]) -> Problem | None:
        """Return what cannot be read in a stored form, naming its field, or `None`."""
        wrong = next((name for name, value in stored.items() if not _holds(cls, name, value)), "")
        wrong = wrong or next((name for name in cls.NEEDS if name not in stored), "")
        if not wrong and cls.NEEDS_ONE and not stored.keys() & set(cls.NEEDS_ONE):
            wrong = cls.NEEDS_ONE[0]
        return unreadable(wrong) if wrong else None


def unreadable(name: str) -> Problem:
    """Return that a field of an entry cannot be read."""
    return Problem("body", f"The entry's «{name}» cannot be read. Mark it again on a fresh page.", name)


@dataclass(frozen=True, slots=True)
class _Keys:
    """What is known of the keys of one kind of body: read once from its fields."""

    fields: tuple[Field[Any], ...]
    readers: Mapping[str, tuple[str, Callable[[Any], Any]]]
    rules: Mapping[str, Rule]


_KNOWN: dict[type[Body], _Keys] = {}


def _keys(body: type[Body]) -> _Keys:
    known = _KNOWN.get(body)
    if known is None:
        declared = fields(body)  # type: ignore[arg-type] # every body is a dataclass
        named = [(name, f) for f in declared for name in (f.metadata["was"], f.name) if name]
        known = _KNOWN[body] = _Keys(
            declared,
            {name: (f.name, f.metadata["rule"].read) for name, f in named},
            {name: f.metadata["rule"] for name, f in named},
        )
    return known


def _holds(body: type[Body], name: str, value: Any) -> bool:
    rule = _keys(body).rules.get(name)
    return rule is None or rule.holds(value)
