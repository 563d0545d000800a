"""The fields of a form as they were sent: names with values, in order, some names more than once."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Fields:
    """The fields of a form."""

    pairs: Pairs

    def get(self, name: str, default: str = "") -> str:
        """Return the first value of a name."""
        return next((value for key, value in self.pairs if key == name), default)

    def all(self, name: str) -> list[str]:
        """Return every value of a name."""
        return [value for key, value in self.pairs if key == name]

    def __contains__(self, name: str) -> bool:
        return any(key == name for key, _ in self.pairs)

    @property
    def names(self) -> frozenset[str]:
        """Every name that was sent."""
        return frozenset(key for key, _ in self.pairs)


def fields_of(pairs: Iterable[tuple[str, str]]) -> Fields:
    """Return fields from their pairs."""
    return Fields(tuple(pairs))


def read_fields(stored: Any) -> Fields | None:
    """Return the fields that a phone kept as a list of pairs; `None` where this is none."""
    if not isinstance(stored, list):
        return None
    if not all(isinstance(pair, list) and len(pair) == 2 for pair in stored):  # noqa: PLR2004 - name and value
        return None
    if not all(isinstance(part, str) for pair in stored for part in pair):
        return None
    return Fields(tuple((name, value) for name, value in stored))


def read_number(typed: str) -> int:
    """Return a whole number from a hidden field; 0 where there is none, or a longer one than any of ours."""
    return int(typed) if re.fullmatch(r"[0-9]{1,9}", typed) else 0
