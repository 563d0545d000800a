"""The judge of sequence: one pure function over milestones, relations and states."""

from collections.abc import Callable, Iterable, Iterator

from app.core.consistency.findings import Finding, Verdict
from app.core.consistency.scene import SEALS, Scene, Seen, is_engine_oil
from app.core.consistency.whereabouts import (
    joined_before_the_record,
    joined_while_out,
    looked_before_it_rose,
    milestones_untrue,
)
from app.core.items.amounts import LEAST_SHARE
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Role
from app.core.ledger.ledger import has_begun

MOST_SHARE = 1.2
"""Filled above this share of what a system takes is asked about (common practice)."""


def judge(scene: Scene) -> tuple[Finding, ...]:
    """Return what cannot be true of the vehicle, and what asks to be answered, each once.

    States that contradict each other are impossible: a mark puts them right. What contradicts only the
    order in which marks arrived is asked: a phone may have sent late.
    """
    found = {finding.key: finding for rule in _RULES for finding in rule(scene)}
    return tuple(sorted(found.values(), key=lambda finding: (finding.verdict, finding.key)))


def _impossible(code: str, item: Seen, other: Seen | None = None) -> Finding:
    return _finding(code, Verdict.IMPOSSIBLE, item, other)


def _asks(code: str, item: Seen, other: Seen | None = None, positions: tuple[int, ...] = ()) -> Finding:
    return _finding(code, Verdict.ASKS, item, other, positions)


def _finding(
    code: str, verdict: Verdict, item: Seen, other: Seen | None, positions: tuple[int, ...] = ()
) -> Finding:
    seen = tuple(sorted({*item.lines, *(other.lines if other else ())}))
    return Finding(code, verdict, item.item.id, other.item.id if other else "", positions, seen)


def _away(scene: Scene) -> Iterator[Finding]:
    """In place while it is away."""
    for key in sorted(scene.away):
        thing = scene.things.get(key)
        if thing and (thing.is_back or not has_begun(thing.state)):
            yield _impossible("in-place-while-away", thing)


def _openings(scene: Scene) -> Iterator[Finding]:
    """A cap or rag still in under something closed, or out only after it."""
    for under, caps in scene.plugs.items():
        for over in (scene.things[under], *scene.covering.get(under, ())):
            for cap in caps:
                if not over.is_back or not has_begun(cap.state):
                    continue
                if not cap.is_whole:
                    yield _impossible("left-in", over, cap)
                elif _is_before(over.times.placed, cap.times.placed):
                    yield _asks("out-after-closed", over, cap)


def _seals(scene: Scene) -> Iterator[Finding]:
    """A cover without its gasket, or before it."""
    for gasket, cover in scene.pairs.get(SEALS, ()):
        if not cover.is_back or not gasket.goes_back:
            continue
        if not gasket.is_whole:
            yield _impossible("unsealed", cover, gasket)
        elif _is_before(cover.times.placed, gasket.times.placed):
            yield _asks("sealed-after", cover, gasket)


def _groups(scene: Scene) -> Iterator[Finding]:
    """A group tight before every part that it holds and that goes back."""
    for group, part in scene.pairs.get("holds", ()):
        if group.item.kind is not Kind.FASTENER or not (group.is_back and group.is_done and part.goes_back):
            continue
        if not part.is_whole:
            yield _impossible("tight-without-part", group, part)
        elif _is_before(group.times.worked, part.times.placed):
            yield _asks("tight-before-part", group, part)


def _fluids(scene: Scene) -> Iterator[Finding]:
    """Filled before closed."""
    members: dict[str, list[Seen]] = {}
    for key, system in scene.systems.items():
        if key in scene.things:
            members.setdefault(system, []).append(scene.things[key])
    for fluid in _of_kind(scene, Kind.FLUID):
        if not fluid.is_back:
            continue
        for thing in members.get(fluid.item.type, ()):
            if thing is fluid or not thing.goes_back or _is_plugged(thing, scene):
                continue
            if not thing.is_done:
                yield _impossible("filled-open", fluid, thing)
            elif not _is_told_by_type(thing) and _is_before(
                fluid.times.worked or fluid.times.placed, thing.times.closed
            ):
                yield _asks("closed-after-filled", fluid, thing)


def _is_told_by_type(thing: Seen) -> bool:
    """Tell whether nobody said what a thing closes: then nothing is asked of what has long been closed."""
    return not thing.item.system and bool(thing.item.circuit)


def _is_plugged(thing: Seen, scene: Scene) -> bool:
    return any(has_begun(cap.state) and not cap.is_whole for cap in scene.plugs.get(thing.item.id, ()))


def _primed(scene: Scene) -> Iterator[Finding]:
    """Primed before filled."""
    oils = [each for each in _of_kind(scene, Kind.FLUID) if is_engine_oil(each.item)]
    for step in _of_kind(scene, Kind.STEP):
        if scene.sides.role(step.item) is not Role.PRIME or not step.is_back:
            continue
        for oil in oils:
            if oil.goes_back and not oil.is_whole:
                yield _impossible("primed-dry", step, oil)
            elif oil.goes_back and _is_before(step.times.placed, oil.times.placed):
                yield _asks("primed-before-filled", step, oil)


def _amounts(scene: Scene) -> Iterator[Finding]:
    """An amount far from what it should be: what it takes dry, else the refill, else what was drained."""
    for fluid in _of_kind(scene, Kind.FLUID):
        amounts = fluid.state.amounts
        wanted = scene.expected.get(fluid.item.id)
        stated = 0.0
        if wanted:
            stated = _said(wanted.dry_l) if wanted.is_dry else _said(wanted.refill_l)
            stated = stated or _said(wanted.dry_l)
        least = stated or amounts.drained or 0.0
        if amounts.filled is None or not least or not fluid.is_back:
            continue
        if not (amounts.asks or amounts.answered) and amounts.filled < LEAST_SHARE * least - 1e-9:
            yield _asks("amount-low", fluid)
        most = max(stated, _said(wanted.dry_l) if wanted else 0.0, amounts.drained or 0.0)
        if amounts.filled > MOST_SHARE * most + 1e-9:
            yield _asks("amount-high", fluid)


def _said(litres: float) -> float:
    """Return a capacity that can be one; none for zero, less, or what is no number."""
    return litres if 0 < litres < float("inf") else 0.0


def _pieces(scene: Scene) -> Iterator[Finding]:
    """A piece renewed without being tightened anew, a second look that had not seen the work."""
    for thing in scene.things.values():
        if thing.item.kind is Kind.FASTENER and thing.is_back and thing.times.renewed_late:
            late = tuple(
                p.n
                for p in thing.state.positions
                if p.n in thing.times.renewed_late
                and p.piece == "renewed"
                and p.act in {Act.TIGHT, Act.CHECKED}
            )
            if late:
                yield _asks("renewed-after-tight", thing, positions=late)
        unseen = tuple(
            p.n for p in thing.state.positions if p.n in thing.times.unseen_work and p.act is Act.CHECKED
        )
        if unseen:
            yield _asks("checked-before-work", thing, positions=unseen)


def _of_kind(scene: Scene, kind: Kind) -> Iterable[Seen]:
    return (thing for thing in scene.things.values() if thing.item.kind is kind)


def _is_before(first: int, then: int) -> bool:
    """Tell whether one mark arrived before another; what has not arrived is before nothing."""
    return 0 < first < then


_RULES: tuple[Callable[[Scene], Iterable[Finding]], ...] = (
    *(_away, _openings, _seals, _groups, joined_while_out, _fluids, _primed, _amounts, _pieces),
    *(joined_before_the_record, looked_before_it_rose, milestones_untrue),
)
