"""A build as the judge sees it, from marks that are short to write."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from app.core.consistency.findings import Verdict
from app.core.consistency.judge import judge
from app.core.consistency.scene import Scene, Seen
from app.core.consistency.times import times_of
from app.core.items.items import DETAIL, Edge, Fastener, Fluid, Item, Part
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from app.core.items.state import fold
from app.core.ledger.ledger import work_act
from app.core.phases.phases import fold_phases
from app.core.phases.routes import Route
from app.core.phases.sides import Sides
from app.core.phases.units import usual_units

SWAP = usual_units(new_engine=True)
IMPOSSIBLE, ASKS = Verdict.IMPOSSIBLE, Verdict.ASKS


def thing(item_id: str, kind: Kind = Kind.PART, **over: Any) -> Item:
    detail = over.pop("detail", None) or DETAIL.get(kind, Part)()
    return replace(Item(item_id, 1, kind, item_id, n=1, detail=detail), **over)


def scene(
    items: Iterable[Item],
    said: Iterable[str],
    *,
    edges: tuple[Edge, ...] = (),
    milestones: Iterable[Line] = (),
    more: dict[str, list[Line]] | None = None,
    **over: Any,
) -> Scene:
    """Marks such as "a off", one after the other; `more` are lines of a thing besides."""
    known_items = {item.id: item for item in items}
    lines: dict[str, list[Line]] = {item: [] for item in known_items}
    for nth, each in enumerate(said, 1):
        item, act, *rest = each.split()
        body: dict[str, Any] = {"act": act} | ({"litres": float(rest[0])} if rest else {})
        after = {lines[item][-1].id} if lines[item] else set()
        person = "Ben" if act == "checked" else "Ada"
        lines[item].append(
            Line(f"{nth:03d}", f"item:{item}", "mark", body, frozenset(after), person, seq=nth)
        )
    for item, extra in (more or {}).items():
        lines[item] += extra
    things = {
        item.id: Seen(
            item,
            fold(item.kind, item.positions, lines[item.id], work=work_act(item)),
            times_of(item, lines[item.id]),
        )
        for item in known_items.values()
    }
    roles = over.pop("roles", {})
    sides = Sides(SWAP, Route.ENGINE_UP, Route.ENGINE_UP, known_items, edges, roles)
    return Scene(things, edges, fold_phases(SWAP, milestones), sides, **over)


def found(*args: Any, **over: Any) -> list[tuple[str, Verdict, str, str]]:
    return [(each.code, each.verdict, each.item, each.other) for each in judge(scene(*args, **over))]


COVER = [thing("cover"), thing("gasket")]
SEALED = (Edge("gasket", "seals", "cover"),)
OIL = thing("oil", Kind.FLUID, detail=Fluid("engine oil"))
PLUG = thing("plug", Kind.FASTENER, detail=Fastener(torque="25 N·m"))
CIRCUIT = {"plug": "engine oil"}
BOLTS = thing("bolts", Kind.FASTENER, detail=Fastener(torque="25 N·m", one_time="yes"))
