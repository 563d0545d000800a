"""A build some lines later: what was worked out of the whole of it, kept where it must be the same."""

from bisect import bisect_left
from collections.abc import Mapping, Sequence

from app.core.builds.entry import Entry
from app.core.builds.snapshot import Snapshot
from app.core.consistency.rejudge import rejudge
from app.core.items.kinds import Kind
from app.core.order.progress import OrderProgress
from app.core.procurement.to_get import Need, needs_of
from app.core.tightening.readings import unconfirmed_to_tighten

_FOLLOWS_FROM = {
    "zone": ("zones",),
    "step": ("steps",),
    "replaces": ("edges",),
    "replaced": ("edges",),
}
"""What follows from these fields alone."""

Changed = Sequence[tuple[Entry, Entry]]
"""Lines of the ledger that differ: as they stood, and as they stand."""

_SIDES = ("edges", "steps", "side_exceptions", "said_swap")
_IN_THE_PLAN = (*_SIDES, "step_edges", "install_exceptions", "goes_after")
_OF_THE_PLAN = ("plan", "graph", "cycle", "predecessors", "deviations", "stated")


def keep_sides(before: Snapshot, now: Snapshot) -> None:
    """Give a build its sides and stages as they stood, where nothing they follow from differs."""
    if not all(getattr(before, name) is getattr(now, name) for name in _SIDES):
        return
    if tuple(before.entries) != tuple(now.entries):
        return
    pairs = zip(before.entries.values(), now.entries.values(), strict=True)
    if all(old is new or old.item == new.item for old, new in pairs):
        for name in ("swap", "sides", "barriers"):
            _keep(before, now, name)
        if before.milestones is now.milestones:
            _keep(before, now, "phases")
            _keep_judgement(before, now)


def _keep_judgement(before: Snapshot, now: Snapshot) -> None:
    """Judge again only what is near the things whose marks differ."""
    if before.outstanding is not now.outstanding or not _knows(before, "judgement"):
        return
    pairs = zip(before.entries.values(), now.entries.values(), strict=True)
    changed = {new.item.id for old, new in pairs if old is not new}
    now.__dict__["judgement"] = rejudge(before.judgement, now.scene, changed)


def keep_known(before: Snapshot, now: Snapshot) -> None:
    """Give a build what was worked out of it as it stood before, where that must be the same.

    Args:
        before: As it stood. What of it is the same object in both builds is the same.
        now: As it stands; nothing has been asked of it yet.
    """
    for name, fields in _FOLLOWS_FROM.items():
        if all(getattr(before, field) is getattr(now, field) for field in fields):
            _keep(before, now, name)
    if tuple(before.entries) != tuple(now.entries):
        return
    pairs = zip(before.entries.values(), now.entries.values(), strict=True)
    changed = [(old, new) for old, new in pairs if old is not new]
    _keep_items(before, now, changed)
    _keep_unconfirmed(before, now, changed)
    _keep(before, now, "gate_codes")
    _keep_waits(before, now, changed)
    if _knows(before, "plan") and (_is_same_plan(before, now, changed) or before.plan == now.plan):
        for name in _OF_THE_PLAN:
            _keep(before, now, name)
        _keep_order(before, now, changed)


def _is_same_plan(before: Snapshot, now: Snapshot, changed: Changed) -> bool:
    """Tell whether a glance at what changed is enough: nothing of it is in the plan."""
    return all(getattr(before, field) is getattr(now, field) for field in _IN_THE_PLAN) and all(
        old.thing == new.thing and old.item == new.item for old, new in changed
    )


def _knows(build: Snapshot, name: str) -> bool:
    return name in build.__dict__


def _keep(before: Snapshot, now: Snapshot, name: str) -> None:
    if _knows(before, name):
        now.__dict__[name] = before.__dict__[name]


def _keep_order(before: Snapshot, now: Snapshot, changed: Changed) -> None:
    """Move on how far the order is, and the order itself: few stand elsewhere in it."""
    if not _knows(before, "order_progress"):
        return
    moved = {new.item.id: new.progress for old, new in changed if old.progress != new.progress}
    progress = before.order_progress.after(moved) if moved else before.order_progress
    if progress.reached != now.reached:
        return
    now.__dict__["order_progress"] = progress
    if _knows(before, "order"):
        now.__dict__["order"] = _in_order(before, progress, moved)


def _in_order(before: Snapshot, progress: OrderProgress, moved: Mapping[str, object]) -> tuple[str, ...]:
    """Return the order with what was moved at its place; findings do not stand in it."""
    if not moved:
        return before.order
    position, acts = progress.graph.position, progress.graph.acts

    def place(of: str) -> int:
        return position[progress.next_node.get(of, acts[of][0])]

    order = [of for of in before.order if of not in moved]
    for of in moved:
        if of in acts and before.entries[of].item.kind is not Kind.FINDING:
            order.insert(bisect_left(order, place(of), key=place), of)
    return tuple(order)


def _keep_items(before: Snapshot, now: Snapshot, changed: Changed) -> None:
    """Keep the sequence of the items, each as it stands now."""
    is_same = all(
        old.item.number == new.item.number and old.item.kind is new.item.kind for old, new in changed
    )
    if is_same and _knows(before, "items"):
        now.__dict__["items"] = tuple(now.entries[entry.item.id] for entry in before.items)


def _keep_unconfirmed(before: Snapshot, now: Snapshot, changed: Changed) -> None:
    """Ask only what changed whether its reading is still to be compared with the print."""
    if not _knows(before, "unconfirmed"):
        return
    others = {entry.item.id for entry in before.unconfirmed} - {new.item.id for _, new in changed}
    again = {entry.item.id for entry in unconfirmed_to_tighten(new for _, new in changed)}
    now.__dict__["unconfirmed"] = tuple(entry for entry in now.items if entry.item.id in others | again)


def _keep_waits(before: Snapshot, now: Snapshot, changed: Changed) -> None:
    """Keep what is to be got and what is not there, where the changed lines ask for the same as before."""
    same_rows = before.outstanding is now.outstanding and before.edges is now.edges
    if not same_rows or any(_wants(before, old) != _wants(now, new) for old, new in changed):
        return
    _keep(before, now, "to_get")
    if all(_is_bound(old) == _is_bound(new) for old, new in changed):
        _keep(before, now, "unavailable")


def _wants(build: Snapshot, entry: Entry) -> tuple[Need, ...]:
    if entry.item.kind is Kind.STEP:
        return ()
    return needs_of(
        entry.item,
        entry.state,
        replaces=entry.item.id in build.replaces,
        replaced_by=entry.item.id in build.replaced,
    )


def _is_bound(entry: Entry) -> tuple[bool, bool]:
    """Tell whether it goes back, and whether it waits for a decision."""
    return entry.goes_back, entry.begun and entry.state.destiny.value == "undecided"
