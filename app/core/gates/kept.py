"""Why lines keep gates shut, kept from one moment of a build to the next: a mark changes one line of many."""

from collections.abc import Callable, Iterable, Mapping
from typing import Generic

from app.core.ledger.ledger import L


class KeptCodes(Generic[L]):
    """For each gate the code that each line had, and what those codes followed from.

    Moments of one build share it, and any thread may ask: what is kept is put in whole, and a line that is
    another object than the one it was worked out for is asked about anew.
    """

    def __init__(self) -> None:
        self._kept: dict[str, tuple[tuple[object, ...], Mapping[str, tuple[L, str]]]] = {}

    def codes(
        self, key: str, basis: tuple[object, ...], lines: Iterable[L], why: Callable[[L], str]
    ) -> tuple[tuple[L, str], ...]:
        """Return each line with why it keeps a gate shut; the code is empty where it does not.

        Args:
            key: The gate's.
            basis: All that the codes follow from beside the lines. Another basis asks about every line.
            lines: As they stand.
            why: Tells the code of a line.
        """
        before = self._kept.get(key)
        known = before[1] if before and _is_same(before[0], basis) else {}
        now: dict[str, tuple[L, str]] = {}
        for line in lines:
            old = known.get(line.item.id)
            now[line.item.id] = old if old is not None and old[0] is line else (line, why(line))
        self._kept[key] = basis, now
        return tuple(now.values())


def _is_same(before: tuple[object, ...], now: tuple[object, ...]) -> bool:
    return all(old is new or old == new for old, new in zip(before, now, strict=True))
