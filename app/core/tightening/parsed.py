"""The texts of a fastener group as they are read: its torque, its thread, its holes; each read once."""

import re
from dataclasses import dataclass
from functools import cached_property, lru_cache

from app.core.items.items import Fastener, Item
from app.core.problem import Problem
from app.core.threads.positions import Position, positions_of
from app.core.threads.strength import FastenerKind
from app.core.threads.text import Thread, parse_thread
from app.core.torque.text import parse_torque
from app.core.torque.values import Stage, TorqueSpec

MOST_KEPT = 8192
"""How many groups are kept as read; alike ones count once."""
_NUT = re.compile(r"\bnuts?\b", re.IGNORECASE)
_NOT_ONLY_A_NUT = re.compile(r"\b(?:bolts?|screws?|studs?|no|without)\b", re.IGNORECASE)


@dataclass(frozen=True)
class ParsedFastener:
    """What the texts of a group say. What is not written, and what cannot be read, is `None`.

    Args:
        group: The group; take it from `parsed`, so that each text is read once.
    """

    group: Fastener

    @property
    def torque(self) -> TorqueSpec | None:
        """What is printed as its torque."""
        return None if isinstance(self._torque, Problem) else self._torque

    @property
    def torque_problem(self) -> Problem | None:
        """Why its torque cannot be read; `None` where it can, or is not written."""
        return self._torque if isinstance(self._torque, Problem) else None

    @property
    def final(self) -> Stage | None:
        """The last stage of its torque that has a value in a unit of torque."""
        return self.torque.final if self.torque else None

    @cached_property
    def thread(self) -> Thread | None:
        """Its thread."""
        read = parse_thread(self.group.thread)
        return None if isinstance(read, Problem) else read

    @property
    def kind(self) -> FastenerKind:
        """What its class is marked on: a nut where its head is called one, else a bolt, screw or stud.

        `nut and bolt` says not which of the two carries the class: the bolt is taken, as without any word.
        """
        head = self.group.head
        is_nut = _NUT.search(head) and not _NOT_ONLY_A_NUT.search(head)
        return FastenerKind.NUT if is_nut else FastenerKind.BOLT

    @cached_property
    def _torque(self) -> TorqueSpec | Problem | None:
        return parse_torque(self.group.torque) if self.group.torque else None


@lru_cache(maxsize=MOST_KEPT)
def parsed(group: Fastener) -> ParsedFastener:
    """Return a group with its texts as they are read."""
    return ParsedFastener(group)


def holes_of(item: Item) -> tuple[Position, ...]:
    """Return the holes of an item with what is known of them; none of what is no fastener group."""
    group = item.detail
    return _holes(group.lengths, group.holes, item.positions) if isinstance(group, Fastener) else ()


@lru_cache(maxsize=MOST_KEPT)
def _holes(lengths: str, holes: str, count: int) -> tuple[Position, ...]:
    return positions_of(lengths, holes, count)
