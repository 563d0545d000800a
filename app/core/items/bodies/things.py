"""What is said of an item besides what happened to it: its words, its relations, its exceptions."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from app.core.items.bodies.base import UNSAID, Body, Rule, Unsaid, key
from app.core.items.bodies.rules import (
    ACT,
    EXCEPTION,
    KIND,
    OBJECT,
    TEXT,
    TEXTS,
    TICK,
    WHOLE,
    many,
    named,
    or_null,
)
from app.core.items.kinds import Act, Kind

StatedException = tuple[str, str, int, str]


def _detail(stored: Mapping[str, Any]) -> dict[str, Any]:
    """Return the fields of a kind; earlier releases called the type of a thing its sort."""
    renamed = {"type": stored["sort"]} if "sort" in stored else {}
    return {name: value for name, value in stored.items() if name != "sort"} | renamed


DETAIL_RULE = Rule(lambda value: isinstance(value, dict), _detail, dict)


@dataclass(frozen=True, slots=True)
class ItemFields(Body):
    """What is known of an item; `None` where a line does not say it.

    Args:
        n: How many pieces; `None` where nobody has counted.
        step, zone: Ids, empty for none.
        detail: The fields of its kind, see `app.core.items.items.DETAIL`.
        edges: What it holds, joins and so on: for each relation that changed, all that it now leads to.
        rev: Counts its changes.
    """

    kind: Kind | None = key(KIND)
    number: int | None = key(WHOLE)
    name: str | None = key(TEXT)
    step: str | None = key(TEXT)
    zone: str | None = key(TEXT)
    n: int | Unsaid | None = key(or_null(WHOLE), UNSAID)
    critical: bool | None = key(TICK)
    owner: str | None = key(TEXT)
    note: str | None = key(TEXT)
    system: str | None = key(TEXT)
    listed_as: str | None = key(TEXT)
    detail: Mapping[str, Any] | None = key(DETAIL_RULE)
    edges: Mapping[str, tuple[str, ...]] | None = key(named(TEXTS))
    rev: int | None = key(WHOLE)


@dataclass(frozen=True, slots=True)
class AddItem(ItemFields):
    """An item comes into being.

    Args:
        act: What happens to it at once, if anything does.
        born: The destiny of what the vehicle never had; empty for what was there.
        found_on: What a finding was found on, as earlier releases said it.
    """

    VERB: ClassVar[str] = "add"
    VERSION: ClassVar[int] = 2
    act: Act | None = key(ACT)
    born: str = key(TEXT, "")
    found_on: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class EditItem(ItemFields):
    """An item is described, or related to others.

    Args:
        moves_to: What it moves to: all of them.
        replaced_by: What stands in its place: all of them.
        exceptions: Where it departs from the reverse: all of them, each as (what, step, nth, reason).
        goes_after: What it goes back after: all of them, each as (item, reason).
        side: On which side of the lift it goes, against the rule: (what, reason), both empty for none.
        cautions: What spoke against a torque when it was written, each with code and message.
        stated: Where a line says what is known already: by whom.
    """

    VERB: ClassVar[str] = "edit"
    VERSION: ClassVar[int] = 2
    moves_to: tuple[str, ...] | None = key(TEXTS)
    replaced_by: tuple[str, ...] | None = key(TEXTS)
    exceptions: tuple[StatedException, ...] | None = key(many(EXCEPTION))
    goes_after: tuple[tuple[str, ...], ...] | None = key(many(TEXTS))
    side: tuple[str, ...] | None = key(TEXTS)
    cautions: tuple[Mapping[str, str], ...] = key(many(OBJECT), ())
    stated: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class OutstandingFields(Body):
    """What is known of something that the work waits for.

    Args:
        count: How many pieces are still waited for.
        came: How many pieces came with this line, where some did.
        said: The same in words.
    """

    category: str | None = key(TEXT, was="sort")
    need: str | None = key(TEXT)
    what: str | None = key(TEXT)
    at_whom: str | None = key(TEXT)
    since: str | Unsaid | None = key(or_null(TEXT), UNSAID)
    due: str | Unsaid | None = key(or_null(TEXT), UNSAID)
    price_minor: int | Unsaid | None = key(or_null(WHOLE), UNSAID)
    currency: str | None = key(TEXT)
    count: int | None = key(WHOLE)
    came: int | None = key(WHOLE)
    done_on: str | Unsaid | None = key(or_null(TEXT), UNSAID)
    rev: int | None = key(WHOLE)
    said: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class Treat(OutstandingFields):
    """Something is waited for, has come, or is taken off the list (`deleted`): `wait` is its id."""

    VERB: ClassVar[str] = "treat"
    VERSION: ClassVar[int] = 2
    wait: str = key(TEXT, "")
    deleted: bool = key(TICK, default=False)


@dataclass(frozen=True, slots=True)
class EditOutstanding(OutstandingFields):
    """All that is known of something that is waited for, said again."""

    VERB: ClassVar[str] = "edit"
    VERSION: ClassVar[int] = 2
    subject: str = key(TEXT, "")
    done_line: str | Unsaid | None = key(or_null(TEXT), UNSAID)
    stated: str = key(TEXT, "")
