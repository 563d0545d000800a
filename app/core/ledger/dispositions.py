"""What becomes of each part: exactly one thing, so that the sums equal the number of parts."""

from collections.abc import Iterable

from app.core.items.items import FATES
from app.core.items.state import ItemState
from app.core.ledger.ledger import SETTLED_DESTINIES
from app.core.problem import Problem

DISPOSITIONS = ("undecided", "refit", "transfer", "left_out", "stays_on_old", "fate_unsaid", *FATES)
"""Every disposition; what is undecided comes first."""


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


def reason_problem(destiny: str, reason: str) -> Problem | None:
    """Return that nobody said why something does not go back, where it is not to go back."""
    if destiny not in SETTLED_DESTINIES or reason:
        return None
    return Problem(
        "reason", "Say in a few words why it does not go back: somebody will ask in a year.", "reason"
    )
