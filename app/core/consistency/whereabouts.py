"""What milestones make impossible: something joined to an engine that is not there."""

from collections.abc import Iterator

from app.core.consistency.findings import LOOKED_BEFORE, Finding, Verdict
from app.core.consistency.scene import Scene, Seen
from app.core.items.items import Connection
from app.core.items.kinds import Act, Kind, rung
from app.core.items.state import PositionState
from app.core.ledger.ledger import needs
from app.core.phases.joints import FREE, ties_by_role
from app.core.phases.registers import Place
from app.core.phases.units import NOT_SAID, VEHICLE


def joined_while_out(scene: Scene) -> Iterator[Finding]:
    """An engine's connection joined, or a group of it tight, while that engine is out.

    What was on when it went out and was never marked off counts as joined, unless it went out before
    anybody wrote anything down.
    """
    for thing in scene.things.values():
        if thing.item.kind not in {Kind.CONNECTION, Kind.FASTENER} or not _is_wanted(thing):
            continue
        by_unit: dict[tuple[str, str], list[int]] = {}
        for position in thing.state.positions:
            if found := _wrong_at(thing, position, scene):
                by_unit.setdefault(found, []).append(position.n)
        for (code, unit), at in by_unit.items():
            yield Finding(code, Verdict.IMPOSSIBLE, thing.item.id, unit, tuple(at), thing.lines)


def joined_before_the_record(scene: Scene) -> Iterator[Finding]:
    """What tied an engine that was out before anybody wrote anything down, and was never marked.

    Once an engine is in again nobody knows whether it is joined: it is asked.
    """
    early = frozenset(unit for unit, state in scene.phases.states.items() if state.left_before_record)
    if not early or "lift_in" not in scene.phases.happened():
        return
    for thing in scene.things.values():
        if thing.item.kind not in {Kind.CONNECTION, Kind.FASTENER} or not _is_wanted(thing):
            continue
        found = {p.n: _units(thing, p.n, scene, is_again=False) for p in thing.state.positions if _is_on(p)}
        at = tuple(n for n, units in found.items() if units & early and units - early)
        if at:
            unit = min(found[at[0]] & early)
            yield Finding("unrecorded", Verdict.ASKS, thing.item.id, unit, at, thing.lines)


def looked_before_it_rose(scene: Scene) -> Iterator[Finding]:
    """A second look at what ties an engine, taken before that engine was out once more."""
    nth, sides = scene.phases.round, scene.sides
    if nth == 1 or "lift_in" not in scene.phases.happened():
        return
    for thing in scene.things.values():
        if needs(thing.item) is not Act.CHECKED or not thing.goes_back:
            continue
        at = tuple(p.n for p in thing.state.positions if p.act is Act.CHECKED and p.looked_in < nth)
        if at and sides.crosses(sides.joined(thing.item, back=True), back=True) is not False:
            yield Finding(LOOKED_BEFORE, Verdict.IMPOSSIBLE, thing.item.id, positions=at, seen=thing.lines)


def _is_wanted(thing: Seen) -> bool:
    destiny = thing.state.destiny
    return not destiny.disagree and destiny.value in {"refit", "transfer", "undecided"}


def _is_on(position: PositionState) -> bool:
    """Tell whether nobody ever marked a position."""
    return position.act is None and not position.disagree and position.piece != "spare"


def _wrong_at(thing: Seen, position: PositionState, scene: Scene) -> tuple[str, str] | None:
    """Return what is wrong at one position, and the unit that is not there."""
    if position.disagree or position.piece == "spare" or position.act in {*FREE, Act.ASIDE, Act.LOOSENED}:
        return None
    is_again = position.act is not None
    if (
        thing.item.kind is Kind.FASTENER
        and position.act
        and rung(Kind.FASTENER, position.act) < rung(Kind.FASTENER, Act.TIGHT)
    ):
        return None  # nuts are kept on their studs
    units = _units(thing, position.n, scene, is_again=is_again)
    out = _out_of_reach(units, scene)
    if not out:
        return None
    state = scene.phases.states[out]
    if not is_again and (state.left_before_record or not state.has_left):
        return None
    return ("joined-while-out" if is_again else "on-while-out", out)


def _units(thing: Seen, n: int, scene: Scene, *, is_again: bool) -> frozenset[str]:
    """Return the units that a position joins: on again once the old engine is out, the one that comes in."""
    is_again = is_again and scene.phases.has_gone_out
    if isinstance(thing.item.detail, Connection):
        joints = scene.sides.joints(thing.item, back=is_again)
        return joints[min(n, len(joints)) - 1] - {NOT_SAID}
    joined = scene.sides.joined(thing.item, back=is_again)
    if NOT_SAID in joined and ties_by_role(thing.item, scene.sides):
        units = scene.sides.units
        joined |= {VEHICLE.id, units.incoming() if is_again else units.outgoing()}
    return joined - {NOT_SAID}


def _out_of_reach(units: frozenset[str], scene: Scene) -> str:
    """Return the unit that cannot be joined to the others; empty where all may be together."""
    places = {unit: scene.phases.place(unit) for unit in units}
    if None in places.values() or len(units) < 2:  # noqa: PLR2004 - it takes two to join
        return ""
    apart = {place is Place.IN for place in places.values()}
    away = sorted(unit for unit, place in places.items() if place is not Place.IN)
    if len(apart) > 1:
        return away[0]
    gone = sorted(unit for unit, place in places.items() if place is Place.GONE)
    return gone[0] if gone and len(gone) < len(units) else ""


def milestones_untrue(scene: Scene) -> Iterator[Finding]:
    """Milestones that cannot have been, and those of which people say different things."""
    for untrue in scene.phases.untrue:
        lines = untrue.event.lines
        yield Finding(f"milestone-{untrue.code}", Verdict.IMPOSSIBLE, lines[0], seen=lines)
    for dispute in scene.phases.disputes:
        about = ":".join(dispute.about)
        yield Finding("milestones-differ", Verdict.IMPOSSIBLE, dispute.lines[0], about, seen=dispute.lines)
    for problem in scene.phases.problems:
        yield Finding(f"milestone-{problem.code}", Verdict.IMPOSSIBLE, problem.where, seen=(problem.where,))
