"""Critical things that do not go back as they came off: left out, unused, of another kind, no longer so."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.core.gates.facts import Acceptance, BuildFacts
from app.core.items.kinds import Kind
from app.core.ledger.ledger import SETTLED_DESTINIES, L, LedgerLine, has_begun, is_unused

OWNER, REASON, SECOND = "owner", "reason", "second-person"


@dataclass(frozen=True, slots=True)
class Departure:
    """One of them.

    Args:
        item: Its id.
        what: `left_out`, `stays_on_old`, `unused`, `not_critical` or `other_kind`.
        missing: What is still asked: `owner`, `reason`, `second-person`.
        alone: The second look at it was the same person's, on another day.
    """

    item: str
    what: str
    missing: tuple[str, ...] = ()
    alone: bool = False


def departures(facts: BuildFacts[L]) -> tuple[Departure, ...]:
    """Return them with what is still asked of each."""
    found = ((line, _what(line, line.item.id in facts.once_critical)) for line in facts.lines)
    return tuple(_departure(line, what, facts.acceptances) for line, what in found if what)


def _what(line: LedgerLine, once_critical: bool) -> str:
    item, state = line.item, line.state
    if (
        not (item.critical or once_critical)
        or item.kind in {Kind.STEP, Kind.FINDING, Kind.TEMPORARY}
        or not has_begun(state)
    ):
        return ""
    if is_unused(state):
        return "unused"
    if state.destiny.value in SETTLED_DESTINIES and not state.destiny.disagree:
        return state.destiny.value
    if not item.critical:
        return "not_critical"
    return "other_kind" if item.critical_as not in {"", item.kind} else ""


def _departure(line: LedgerLine, what: str, acceptances: Iterable[Acceptance]) -> Departure:
    said = [
        each
        for each in acceptances
        if each.item == line.item.id and each.person.strip() and set(each.seen) == set(line.state.tips)
    ]
    owners = [each for each in said if each.is_owner]
    reasoned = [each for each in owners if each.reason.strip()]
    others = [each for each in said if any(each.person != owner.person for owner in owners)]
    again = [
        each for each in said if each.alone and any(owner.day and owner.day < each.day for owner in owners)
    ]
    lacks = ((OWNER, owners), (REASON, reasoned), (SECOND, others or again))
    missing = tuple(name for name, there in lacks if not there)
    return Departure(line.item.id, what, missing, alone=bool(again) and not others)
