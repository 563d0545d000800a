"""The jobs of the way back, from a build as it stands."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from app.core.builds.bounds import Bounds, bounds_of
from app.core.builds.snapshot import Entry, Snapshot, StepFacts
from app.core.items.kinds import Kind
from app.core.items.roles import Role, Way
from app.core.items.step_names import step_name
from app.core.ledger.ledger import has_begun
from app.core.phases.stance import stance_of
from app.core.plan.jobs import Job, in_order, parts_of

ON_NO_VEHICLE = frozenset({"bench"})
"""Heights that do not ask the vehicle to stand in any way."""

MINUTES_EACH = 5
"""What one line is reckoned at where no step of the way back says, [min]. A rule of this product."""


@dataclass(frozen=True, slots=True)
class Work:
    """A step of the way back, or a part of one, with its lines.

    Args:
        job: What is still to do of it, with what of that has to wait for what; the minutes are what is left.
        name: The step's on the way back; empty where the lines have no step.
        part, parts: Which part of how many of the step it is, from 1.
        lines: Ids of its lines in the order of putting back.
        open: How many of them are open.
        needs: Ids of all works to be done before it, done or not.
        height: As the step has it.
        leftover: The step is for taking off only; something that came off in it has still to go back.
        cannot_stand: The vehicle cannot stand so for it, and what would let it stand comes after it.
    """

    job: Job
    name: str
    part: int
    parts: int
    lines: tuple[str, ...]
    open: int
    needs: frozenset[str]
    height: str = ""
    leftover: bool = False
    cannot_stand: bool = False


def jobs_of(
    build: Snapshot, recorded: Mapping[str, tuple[int, int]] | None = None, *, keep: bool = True
) -> tuple[Work, ...]:
    """Return the work of the way back, done and to do, in the plain reverse order.

    Args:
        build: As it stands.
        recorded: Step id -> minutes (off, on) that were recorded, 0 where none were.
        keep: Whether more than what holds, joins and covers has to wait, see `_keeps`.

    Raises:
        CycleError: The lines wait for each other.
    """
    order = [i for i in build.order if _counts(build.entries[i])]
    groups = {i: build.step_back(build.entries[i].item) for i in order}
    held = _ahead(held_by(build, order), order)
    bounds = bounds_of(build.graph)
    between = {i: f"{bounds.after.get(i, 0)} {groups[i]}" for i in order}
    parts = parts_of(order, between, held)
    total = Counter(groups[part[0]] for part in parts)
    lines = Counter(groups.values())
    seen: Counter[str] = Counter()
    works = []
    for part in parts:
        step = build.step.get(groups[part[0]])
        seen[groups[part[0]]] += 1
        nth = (seen[groups[part[0]]], total[groups[part[0]]])
        minutes = _expected(step, (recorded or {}).get(groups[part[0]], (0, 0))[0])
        each = MINUTES_EACH if minutes is None else minutes / lines[groups[part[0]]]
        works.append(_work(build, part, step, nth, each))
    return _with_edges(build, works, held, bounds, keep=keep)


def _ahead(held: Mapping[str, frozenset[str]], order: Sequence[str]) -> Mapping[str, frozenset[str]]:
    """Return what still comes before each line; what was in out of turn and is finished later is met."""
    rank = {line: nth for nth, line in enumerate(order)}
    return {
        line: frozenset(b for b in befores if rank.get(b, -1) < rank.get(line, len(order)))
        for line, befores in held.items()
    }


def held_by(build: Snapshot, order: Iterable[str]) -> Mapping[str, frozenset[str]]:
    """Return for each line what has to be in before it: what it holds, joins or covers, and stated steps.

    The battery's ground cable comes after all that carries current here as in the order of single things.
    """
    of_step: dict[str, set[str]] = defaultdict(set)
    for line in order:
        of_step[build.step_back(build.entries[line].item)].add(line)
    found: dict[str, set[str]] = defaultdict(set)
    for line, befores in build.predecessors.items():
        found[line] |= set(befores)
    for ground, live in build.graph.ground_last():
        found[ground].add(live)
    for edge in build.step_edges:
        for line in of_step[edge.after]:
            found[line] |= of_step[edge.before]
    return {line: frozenset(befores) for line, befores in found.items()}


def _counts(entry: Entry) -> bool:
    """Tell whether a line is work of the way back: open, or done on it."""
    return entry.is_open or (has_begun(entry.state) and entry.item.kind is not Kind.FINDING)


def _work(
    build: Snapshot,
    part: tuple[str, ...],
    step: StepFacts | None,
    nth: tuple[int, int],
    each: float,
) -> Work:
    lines = [build.entries[i] for i in part]
    left = sum(entry.is_open for entry in lines)
    planned = _is_on_the_way(step)
    height = step.height if step and not _fills(lines, step) else ""
    job = Job(
        part[0],
        "" if height in ON_NO_VEHICLE else height,
        max(round(each * left), 1) if left else 0,
        step.people if step and planned else 1,
        _zone(entry for entry in lines if entry.is_open),
        shares_zone=step.shares_zone if step else False,
    )
    name = step_name(step, Way.BACK) if step else ""
    return Work(job, name, *nth, part, left, frozenset(), height, leftover=bool(step) and not planned)


def _is_on_the_way(step: StepFacts | None) -> bool:
    return step is not None and step.direction != "off_only"


def _fills(lines: Iterable[Entry], step: StepFacts | None) -> bool:
    """Tell whether it is filled here what was drained: not at the height at which it was drained."""
    return not _is_on_the_way(step) and all(entry.item.kind is Kind.FLUID for entry in lines)


def _expected(step: StepFacts | None, off: int) -> int | None:
    """Return what the whole step is reckoned at, [min]; `None` where it is no step of the way back."""
    return (off or step.minutes) if step is not None and _is_on_the_way(step) else None


def _zone(entries: Iterable[Entry]) -> str:
    """Return the zone that most of the lines are in, the first of several."""
    zones = Counter(entry.item.zone for entry in entries if entry.item.zone)
    return max(zones, key=lambda zone: zones[zone], default="")


def _with_edges(
    build: Snapshot, works: Sequence[Work], held: Mapping[str, Iterable[str]], bounds: Bounds, *, keep: bool
) -> tuple[Work, ...]:
    """Return the work in the plain reverse order, with what waits for what."""
    home = {line: work.job.id for work in works for line in work.lines}
    needs: dict[str, set[str]] = defaultdict(set)
    now: dict[str, set[str]] = defaultdict(set)
    for line, before in ((line, before) for line, befores in held.items() for before in befores):
        if line in home and before in home and home[line] != home[before]:
            needs[home[line]].add(home[before])
            if not build.entries[before].is_placed:
                now[home[line]].add(home[before])
    _bound(build, works, bounds, needs, now)
    impossible = _stand(build, works, needs, now)
    plain = in_order(replace(work.job, after=frozenset(needs[work.job.id])) for work in works)
    by_id = {work.job.id: work for work in works}
    ordered = [by_id[job.id] for job in plain]
    if keep:
        for earlier, later in _keeps(build, ordered):
            needs[later.job.id].add(earlier.job.id)
            now[later.job.id].add(earlier.job.id)
    to_do = {work.job.id for work in works if work.open}
    return tuple(
        replace(
            work,
            job=replace(work.job, after=frozenset(now[work.job.id] & to_do)),
            needs=frozenset(needs[work.job.id]),
            cannot_stand=work.job.id in impossible,
        )
        for work in ordered
    )


def _bound(
    build: Snapshot,
    works: Sequence[Work],
    bounds: Bounds,
    needs: dict[str, set[str]],
    now: dict[str, set[str]],
) -> None:
    """Let what comes after a milestone wait for all that comes before it."""
    home = {line: work.job.id for work in works for line in work.lines}
    reached = {
        work.job.id: max((bounds.after.get(line, 0) for line in work.lines), default=0) for work in works
    }
    for nth, lines in enumerate(bounds.before, 1):
        first = {home[line] for line in lines if line in home and reached[home[line]] < nth}
        open_ = {home[line] for line in lines if line in home and not build.entries[line].is_placed} & first
        for job, floor in reached.items():
            if floor >= nth:
                needs[job] |= first
                now[job] |= open_


def _stand(
    build: Snapshot, works: Sequence[Work], needs: dict[str, set[str]], now: dict[str, set[str]]
) -> frozenset[str]:
    """Let work at a height that the vehicle cannot take wait for what lets it stand again.

    Returns:
        Work that comes before all that would let it stand: it cannot be done at its height.
    """
    stance = stance_of(build.phases, ((e.item, e.state) for e in build.items if e.goes_back))
    low = [work for work in works if work.open and work.job.height in stance.impossible_heights]
    carrying = {work.job.id for work in works if work.open and set(work.lines) & set(stance.stands)}
    ahead = frozenset().union(*(_before(job, needs) for job in carrying)) if low else frozenset[str]()
    impossible = {work.job.id for work in low if work.job.id in ahead or not carrying} - carrying
    for work in low:
        if work.job.id not in carrying | impossible:
            needs[work.job.id] |= carrying
            now[work.job.id] |= carrying
    return frozenset(impossible)


def _before(job: str, needs: Mapping[str, set[str]]) -> frozenset[str]:
    """Return all work that one waits for, directly or through others."""
    found: set[str] = set()
    ahead = [job]
    while ahead:
        more = needs.get(ahead.pop(), set()) - found
        found |= more
        ahead += more
    return frozenset(found)


def _keeps(build: Snapshot, ordered: Sequence[Work]) -> Iterable[tuple[Work, Work]]:
    """Yield (before, after) where the plain reverse is kept although nothing holds, joins or covers.

    A rule of this product, which keeps a plan from being shorter than the vehicle allows: what is for
    the way back only (fill, align, start) comes after all that stands before it; nothing passes the lift
    of the engine; steps with work in one zone keep their order.
    """
    zones = {work.job.id: _zones(build, work) for work in ordered}
    for at, work in enumerate(ordered):
        for before in ordered[:at]:
            shared = zones[work.job.id] & zones[before.job.id]
            if shared or _is_on_only(build, work) or _lifts(build, work) or _lifts(build, before):
                yield before, work


def _zones(build: Snapshot, work: Work) -> frozenset[str]:
    return frozenset(build.entries[i].item.zone for i in work.lines) - {""}


def _is_on_only(build: Snapshot, work: Work) -> bool:
    """Tell whether it is for the way back only: a step of it, or fluids, which are filled, not put back."""
    kinds = [build.entries[line].item.kind for line in work.lines]
    return Kind.STEP in kinds or set(kinds) == {Kind.FLUID}


def _lifts(build: Snapshot, work: Work) -> bool:
    step = build.step.get(build.entries[work.lines[0]].item.step)
    return step is not None and step.role is Role.LIFT


def zone_places(build: Snapshot, drawn: Iterable[Mapping[str, Any]]) -> dict[str, tuple[float, float]]:
    """Return where the zones are on the layout's drawing; what is below lies a drawing's length away.

    Args:
        build: As it stands.
        drawn: The layout's zones, each with its `key` and `label_at`.
    """
    at = {zone["key"]: zone["label_at"] for zone in drawn}
    below = max((y for _, y in at.values()), default=0)
    known = (zone for zone in build.zones if zone.key in at)
    return {z.id: (at[z.key][0], at[z.key][1] + below * (z.level == "below")) for z in known}
