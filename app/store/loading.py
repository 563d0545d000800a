"""Builds read from the database: the whole of one, or only what lines have changed since it was read."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from app.core.builds.following import keep_known, keep_sides
from app.core.builds.judged import judged
from app.core.builds.snapshot import Entry, Snapshot, StepFacts
from app.core.consistency.times import NO_TIMES, Times
from app.core.items.bodies.plan import EditStep
from app.core.items.bodies.reading import read_body
from app.core.items.items import Edge, Item
from app.core.items.state import ItemState, fold
from app.core.ledger.ledger import why_open, word
from app.core.phases.milestones import MILESTONE_VERBS, SETTLE
from app.core.phases.swap import read_swap
from app.store.db.models import Build, ItemRow, ItemStateRow, JournalRow
from app.store.journal import as_item, read_state, read_times, step_as_item
from app.store.milestones import acceptances, finding_answers, milestone_lines
from app.store.parts import edges_of, photos_of, places_of, steps_of, tags_of, tray_of, zones_of
from app.store.plan.install_exceptions import goes_after, install_exceptions, step_edges
from app.store.plan.sequence import side_exceptions
from app.store.procurement.outstanding import outstanding_of

MOST_LINES = 400
"""A build is read anew where more lines than these have come: a list, a phone that was long away."""

_ACTS = frozenset({"mark", "count", "undo", "settle", "move", "dispose", "fate", "acknowledge", "confirm"})
"""Verbs after which only the state of their subject differs."""
_OF_GATES = frozenset({"answer", "pass", "start", "recheck", "undo"})
_NOTHING: frozenset[str] = frozenset()
_TIES = frozenset({"edges", "step_edges", "install_exceptions", "goes_after", "side_exceptions"})
_WAITS = frozenset({"outstanding"})
_CHANGES: Mapping[tuple[str, str], frozenset[str]] = {
    **{(subject, verb): _NOTHING for subject in ("item", "step") for verb in _ACTS},
    **{("gate", verb): _NOTHING for verb in _OF_GATES},
    **{(tool, verb): _NOTHING for tool in ("wrench", "adapter") for verb in ("add", "edit")},
    **{("build", verb): frozenset({"milestones"}) for verb in (*MILESTONE_VERBS, SETTLE, "stop", "undo")},
    **{(subject, "undo"): frozenset({"finding_answers", "acceptances"}) for subject in ("item", "step")},
    **{(subject, "explain"): frozenset({"finding_answers"}) for subject in ("item", "step")},
    **{(subject, "accept"): frozenset({"acceptances"}) for subject in ("item", "step")},
    **{(subject, "treat"): _WAITS for subject in ("item", "step", "build")},
    ("item", "add"): _TIES,
    ("item", "edit"): _TIES,
    ("step", "add"): _TIES | {"steps"},
    ("step", "edit"): _TIES | {"steps"},
    ("sheet", "add"): _NOTHING,
    ("tag", "give"): frozenset({"tags"}),
    ("tag", "void"): frozenset({"tags"}),
    ("photo", "photo"): frozenset({"photos", "tray"}),
    ("photo", "give"): frozenset({"photos", "tray"}),
    ("place", "add"): frozenset({"places"}),
    ("place", "move"): frozenset({"places"}),
    ("place", "undo"): frozenset({"places"}),
    ("place", "settle"): frozenset({"places"}),
}
"""(Subject type, verb) -> the parts of a build that differ after such a line, beside its subject's own line
of the ledger and those of the items that a step's line names. After a line that is not named here, such as
one about a build's words or the whole folder, the build is read anew. Who writes rows writes, in the same
unit of work and before anybody asks for the build, a line whose parts hold them."""


Folded = tuple[ItemState, Times]

_READ: Mapping[str, Callable[[Session, str], Any]] = {
    "steps": steps_of,
    "edges": edges_of,
    "places": places_of,
    "tags": lambda session, _: tags_of(session),
    "photos": photos_of,
    "tray": tray_of,
    "outstanding": outstanding_of,
    "step_edges": step_edges,
    "install_exceptions": install_exceptions,
    "goes_after": goes_after,
    "side_exceptions": side_exceptions,
    "milestones": milestone_lines,
    "finding_answers": finding_answers,
    "acceptances": acceptances,
}


_OF_THE_BUILD = ("title", "vehicle", "layout", "units", "dialect", "rev", "currency")


def load(session: Session, build_nr: int, seq: int) -> Snapshot | None:
    """Read a whole build.

    Args:
        session: Of a read transaction or a unit of work.
        build_nr: The build's number.
        seq: The number of the newest line in this transaction.
    """
    build = session.scalars(select(Build).where(Build.nr == build_nr)).one_or_none()
    if build is None:
        return None
    parts = {name: read(session, build.id) for name, read in _READ.items()}
    states = _states(session, build.id)
    succeeded = _succeeded(parts["edges"])
    items = {
        row.id: _entry(as_item(row), states.get(f"item:{row.id}"), row.rev, succeeded=row.id in succeeded)
        for row in session.scalars(_items_of(build.id))
    }
    return judged(
        Snapshot(
            seq=seq,
            id=build.id,
            nr=build.nr,
            title=build.title,
            vehicle=build.vehicle,
            layout=build.layout,
            units=build.units,
            dialect=build.dialect,
            rev=build.rev,
            zones=zones_of(session, build),
            entries=items | _step_entries(items, parts["steps"], states),
            currency=build.currency,
            said_swap=read_swap(build.swap),
            **parts,
        )
    )


def update(session: Session, kept: Snapshot, seq: int) -> Snapshot | None:
    """Return a build as it stands, from how it stood: what no new line speaks of is not read again.

    The same as a `load` in every field.

    Args:
        session: Of a read transaction or a unit of work.
        kept: The build as it stood at an earlier line, read from what was committed.
        seq: The number of the newest line in this transaction.
    """
    since = select(JournalRow.subject, JournalRow.verb, JournalRow.body).where(JournalRow.seq > kept.seq)
    lines = session.execute(since.limit(MOST_LINES + 1)).all()
    said = {(subject.partition(":")[0], verb) for subject, verb, _ in lines}
    build = session.scalars(select(Build).where(Build.nr == kept.nr)).one()
    is_other = any(getattr(build, name) != getattr(kept, name) for name in _OF_THE_BUILD)
    if is_other or len(lines) > MOST_LINES or not said <= _CHANGES.keys():
        return load(session, kept.nr, seq)
    names = frozenset().union(*(_CHANGES[each] for each in said))
    parts = {name: _same(getattr(kept, name), _READ[name](session, kept.id)) for name in sorted(names)}
    subjects = {each for subject, verb, body in lines for each in _of_the_ledger(subject, verb, body)}
    read_anew = replace(kept, seq=seq, **parts)
    unjudged = replace(read_anew, entries=_entries_after(session, kept, read_anew, subjects))
    keep_sides(kept, unjudged)
    following = judged(unjudged)
    keep_known(kept, following)
    return following


def _of_the_ledger(subject: str, verb: str, body: Mapping[str, Any]) -> Iterator[str]:
    """Yield what a line changes in the ledger: its subject, and what loses its step or gets it back."""
    if subject.startswith(("item:", "step:")):
        yield subject
    said = read_body(verb, subject, body) if verb == "edit" else None
    if isinstance(said, EditStep):
        yield from (f"item:{item}" for item in said.items or ())


def _same(before: Any, now: Any) -> Any:
    """Return what was there where it is equal: what was worked out of it stays known."""
    return before if before == now else now


def _entries_after(session: Session, kept: Snapshot, now: Snapshot, subjects: set[str]) -> dict[str, Entry]:
    """Return the lines of the ledger after new lines about these subjects.

    Args:
        session: The transaction.
        kept: The build as it stood.
        now: The build with its parts as they are, its entries as they were.
        subjects: Items and steps that new lines speak of.
    """
    new_steps = {f"step:{s.id}" for s in now.steps if s.direction == "on_only" and s.id not in kept.entries}
    states = _states(session, kept.id, subjects | new_steps)
    items = dict(kept.entries)
    for step in kept.steps:
        items.pop(step.id, None)
    many = len(items)
    succeeded = kept.replaced if now.edges is kept.edges else now.replaced
    wanted = [subject.partition(":")[2] for subject in subjects]
    found = session.scalars(select(ItemRow).where(ItemRow.id.in_(wanted)))
    rows = {row.id: row for row in found if row.build_id == kept.id}
    for row in rows.values():
        entry = _entry(as_item(row), states.get(f"item:{row.id}"), row.rev, succeeded=row.id in succeeded)
        items[row.id] = _same(items.get(row.id), entry)
    for i in (kept.replaced ^ succeeded) & items.keys() - rows.keys():
        old = items[i]
        items[i] = _same(old, _entry(old.item, (old.state, old.times), old.rev, succeeded=i in succeeded))
    if len(items) > many:
        items = dict(sorted(items.items(), key=lambda pair: pair[1].item.number))
    unsaid = {s.id for s in now.steps if s.id in kept.entries and f"step:{s.id}" not in subjects}
    known = {f"step:{i}": (kept.entries[i].state, kept.entries[i].times) for i in unsaid}
    steps = _step_entries(items, now.steps, known | states)
    return items | {i: _same(kept.entries.get(i), entry) for i, entry in steps.items()}


def _items_of(build_id: str) -> "Select[ItemRow]":
    return select(ItemRow).where(ItemRow.build_id == build_id).order_by(ItemRow.number)


def _states(session: Session, build_id: str, subjects: set[str] | None = None) -> dict[str, Folded]:
    """Return the stored states of a build, or of these subjects in it, with the times of their marks."""
    query = select(ItemStateRow.subject, ItemStateRow.state, ItemStateRow.build_id)
    # Asked for by both, SQLite would go through the whole build for a few subjects.
    chosen = ItemStateRow.build_id == build_id if subjects is None else ItemStateRow.subject.in_(subjects)
    rows = session.execute(query.where(chosen))
    return {
        subject: (read_state(stored), read_times(stored)) for subject, stored, of in rows if of == build_id
    }


def _succeeded(edges: Iterable[Edge]) -> frozenset[str]:
    return frozenset(edge.to for edge in edges if edge.rel == "replaces")


def _step_entries(
    items: Mapping[str, Entry], steps: Sequence[StepFacts], states: Mapping[str, Folded]
) -> dict[str, Entry]:
    """Return the steps that are lines of the ledger.

    The way back begins when the first thing is off: until then its steps are no open lines.
    """
    found = {
        step.id: _entry(step_as_item(step), states.get(f"step:{step.id}"), step.rev)
        for step in steps
        if step.direction == "on_only"
    }
    under_way = any(entry.begun for entry in items.values())
    return found if under_way else {i: replace(entry, reasons=()) for i, entry in found.items()}


def _entry(item: Item, folded: Folded | None, rev: int, *, succeeded: bool = True) -> Entry:
    state, times = folded or (fold(item.kind, item.positions, ()), NO_TIMES)
    return Entry(item, state, why_open(item, state, succeeded=succeeded), word(item, state), rev, times)
