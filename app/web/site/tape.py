"""The tape under the head: one tick a thing, inked as far as things are back."""

from dataclasses import dataclass
from math import ceil

MOST_TICKS = 120
"""More than these run into each other on a phone: then one tick stands for several things."""


@dataclass(frozen=True, slots=True)
class Tape:
    """What the tape shows.

    Args:
        total: Things that came off, at least 1.
        done: Those whose line is closed.
        tick: How many things one tick stands for.
    """

    total: int
    done: int
    tick: int

    @property
    def ten(self) -> int:
        """How many things lie between two long ticks."""
        return 10 * self.tick

    @property
    def text(self) -> str:
        """What it says to whoever cannot see it."""
        return f"{self.done} of {self.total} done"


def tape_of(total: int, still_open: int) -> Tape | None:
    """Return the tape of a build; `None` while nothing has come off."""
    if total < 1:
        return None
    return Tape(total, max(0, total - still_open), ceil(total / MOST_TICKS))
