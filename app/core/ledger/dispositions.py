"""What becomes of each part: exactly one thing, so that the sums equal the number of parts."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from app.core.items.items import FATES
from app.core.items.state import ItemState

DISPOSITIONS: Mapping[str, str] = MappingProxyType(
    {
        "undecided": "undecided",
        "refit": "goes back",
        "transfer": "goes to the new engine",
        "left_out": "left out",
        "stays_on_old": "stays on the old engine",
        "fate_unsaid": "replaced: what becomes of the old one?",
        "pattern": "kept as a pattern until it runs",
        "core_return": "returned as a core",
        "sold": "sold",
        "scrapped": "scrapped",
    },
)
"""Every disposition with its words; what is undecided comes first."""


def disposition(state: ItemState) -> str:
    """Return the one disposition of a part, one of `DISPOSITIONS`.

    Where lines disagree about destiny or fate it is undecided. The fate counts for what does not go back.
    """
    destiny = state.destiny
    if destiny.disagree or state.fate.disagree or destiny.value == "undecided":
        return "undecided"
    if destiny.value in {"refit", "transfer"}:
        return destiny.value
    if state.fate.value in FATES:
        return state.fate.value
    return "fate_unsaid" if destiny.value == "replaced" else destiny.value


def tally(states: Iterable[ItemState]) -> dict[str, int]:
    """Return how many parts have each disposition; every one is named, the ones without parts too."""
    counts = dict.fromkeys(DISPOSITIONS, 0)
    for state in states:
        counts[disposition(state)] += 1
    return counts
