"""Whether the reading of a printed torque stands: plain, confirmed by a person, or to be confirmed."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Protocol

from app.core.problem import Problem
from app.core.torque.choices import needs_confirming
from app.core.torque.text import format_torque, parse_torque
from app.core.torque.tokens import spelled, tokens_of
from app.core.torque.values import TorqueSpec

MOST_KEPT = 8192
"""How many texts are kept as read."""


class Standing(StrEnum):
    """How far a reading can be relied upon."""

    NONE = "no torque"
    PLAIN = "plain"
    CONFIRMED = "confirmed"
    UNCONFIRMED = "not confirmed"
    CHANGED = "reads differently now"
    EARLIER = "read by an earlier version"
    UNREADABLE = "cannot be read"


REOPENS = frozenset({Standing.CHANGED, Standing.EARLIER, Standing.UNREADABLE})
"""Standings in which what was tightened may have been tightened to something else than the print says."""
_BARE = frozenset({"torque", "angle", "then", "hard", "plus", "slash"})
STANDS = frozenset({Standing.NONE, Standing.PLAIN, Standing.CONFIRMED})


class Confirmation(Protocol):
    """Somebody compared a reading with its print."""

    @property
    def torque(self) -> str:
        """The print, word for word."""

    @property
    def reading(self) -> str:
        """What it was read as, as `format_torque` wrote it."""


@dataclass(frozen=True, slots=True)
class Reading:
    """The reading of one print.

    Args:
        print: The text, word for word.
        read_as: What it says, as `format_torque` writes it; empty where it cannot be read.
        standing: How far it can be relied upon.
        doubts: Why a person is to confirm it, a sentence each.
        before: What an earlier version read, where that is known and says something else; else empty.
    """

    print: str
    read_as: str
    standing: Standing
    doubts: tuple[str, ...] = ()
    before: str = ""

    @property
    def stands(self) -> bool:
        """Whether nobody is to be asked about it."""
        return self.standing in STANDS


def read_as(print_text: str) -> str:
    """Return what a print says in one canonical line; empty where it is empty or cannot be read."""
    spec = _spec(print_text)
    return format_torque(spec) if spec else ""


def reading_of(print_text: str, kept: str, confirmed: Iterable[Confirmation]) -> Reading:
    """Return the reading of a print and whether it stands.

    A plain form that always read the same needs nobody; where it is not known what was read, only figures
    with their units, joined by `then` or a sign, count as that. Anything else is confirmed once for each
    text: the confirmation lapses with another text, and where the text reads differently now.

    Args:
        print_text: The torque as printed.
        kept: What it was read as when it was written; empty where that is not known, as in folders of
            versions that did not keep it.
        confirmed: Who compared which reading with which text.
    """
    if not print_text:
        return Reading("", "", Standing.NONE)
    spec = _spec(print_text)
    mine = [each.reading for each in confirmed if each.torque == print_text]
    if spec is None:
        return Reading(print_text, "", Standing.UNREADABLE, before=next(iter((*mine[::-1], kept)), ""))
    now = format_torque(spec)
    if now in mine:
        return Reading(print_text, now, Standing.CONFIRMED, spec.doubts)
    other = next((each for each in (*mine[::-1], kept) if each and each != now), "")
    if other:
        return Reading(print_text, now, Standing.CHANGED, spec.doubts, other)
    if not needs_confirming(spec) and (kept or _is_bare(print_text)):
        return Reading(print_text, now, Standing.PLAIN)
    return Reading(print_text, now, Standing.UNCONFIRMED if kept else Standing.EARLIER, spec.doubts)


def _is_bare(print_text: str) -> bool:
    """Tell whether a print is figures with units and what joins them: every version read that alike."""
    tokens = tokens_of(spelled(print_text))
    return all(
        token.kind in _BARE and token.text in print_text and not (token.inside and token.kind == "angle")
        for token in tokens
    )


@lru_cache(maxsize=MOST_KEPT)
def _spec(print_text: str) -> TorqueSpec | None:
    read = parse_torque(print_text) if print_text else None
    return None if isinstance(read, Problem) else read
