"""What a build asks of those who are here: the inputs of what can be done now."""

from collections import Counter
from collections.abc import Mapping
from math import ceil

from app.core.builds.next_act import direction_of
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.order.ready import Demand, Here, Now, now
from app.core.phases.milestones import APART


def can_do_now(build: Snapshot, here: Here) -> Now:
    """Return what can be done now in a build, and why the rest cannot.

    What still comes apart is not offered to go back: to put it back is a deliberate act on its card.

    Raises:
        CycleError: What is stated goes round in a cycle.
    """
    waiting = {**_apart(build), **stuck(build)}
    return now(build.order_progress, demands(build), here, stuck=waiting, unavailable=build.unavailable)


def demands(build: Snapshot) -> Mapping[str, Demand]:
    """Return what each item asks for: what its step asks for, with the step's minutes shared out evenly."""
    shares = Counter(build.entries[i].item.step for i in build.order)
    return {i: _demand(build, build.entries[i].item, shares) for i in build.order}


def _demand(build: Snapshot, item: Item, shares: Counter[str]) -> Demand:
    step = build.step.get(build.deferred.get(item.id, build.step_back(item)))
    if step is None:
        return Demand(zone=item.zone, for_anybody=bool(item.name), critical=item.critical)
    # Off-only steps drain and mark: what is filled later is not filled at the height it was drained at.
    filled = item.kind is Kind.FLUID and step.direction == "off_only"
    whole = item.kind is Kind.STEP
    return Demand(
        "" if filled else step.height,
        1 if filled else step.people,
        step.minutes if whole else ceil(step.minutes / max(1, shares[item.step])),
        item.zone,
        bool(item.name) and step.for_helper,
        item.critical,
    )


def stuck(build: Snapshot) -> Mapping[str, str]:
    """Return what waits for a decision, for two people to agree, or for what does not fit to be answered.

    The engine is not started, and the vehicle not moved, while the judge of sequence asks something.
    """
    found = {entry.item.id: _stuck(entry) for entry in build.entries.values()}
    if build.findings:
        found |= dict.fromkeys(build.starting, "does-not-fit")
    return {item: code for item, code in found.items() if code}


def _apart(build: Snapshot) -> Mapping[str, str]:
    going = (i for i, entry in build.entries.items() if entry.goes_back)
    return {i: "apart" for i in going if direction_of(build, i) == APART}


def _stuck(entry: Entry) -> str:
    if entry.state_key == "disagree":
        return "disagree"
    is_finding = entry.item.kind is Kind.FINDING and entry.is_open
    return "undecided" if is_finding or entry.state.destiny.value == "undecided" else ""
