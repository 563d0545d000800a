"""Small builds for the crew: nothing is off yet; the product and the mechanic are told from one list."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.items.bodies.things import AddItem
from app.core.items.items import DETAIL, Connection, End, Fastener, Fluid, Item, Locator, Temporary
from app.core.items.kinds import Kind
from app.core.phases.routes import Route
from app.core.phases.swap import chosen_swap
from app.store.crew import let_in
from app.store.db.clock import new_id, stamp
from app.store.db.models import ItemRow, Step
from app.store.folder import open_folder
from app.store.plan.builds import Writer, layout, new_build
from app.store.plan.items import add_item, set_edges
from tests.story.mechanic import ENGINE, GEARBOX, VEHICLE, Thing, known
from tests.web.conftest import NOW

CREW = {"Olive": "owner", "Hank": "helper", "Hedda": "helper"}
LAYOUT = "longitudinal_inline"
LEFT_OUT = ("photos", "undertray", "strip", "dress", "transfer")
"""Starter steps that the small builds have nothing in."""
_CALLED = {"transverse_v": {"split": "bellhousing", "clutch": "mate"}}
"""Starter steps of other layouts, by which keys the things here know them."""
_OWNERS = {"engine": "old engine", "gearbox": "gearbox", "vehicle": "vehicle"}
_RELATIONS = ("holds", "joins", "covers", "seals", "closes")
_ACROSS = ENGINE | VEHICLE


def _bolts(key: str, ties: frozenset[str], step: str, name: str, **over: Any) -> Thing:
    return Thing(key, "fastener", ties, step, name, n=over.pop("n", 2), **over)


def _plug(key: str, ties: frozenset[str], step: str, name: str, kind: str, **over: Any) -> Thing:
    return Thing(key, "connection", ties, step, name, kind, **over)


SWAP = known(
    Thing("hood", "part", VEHICLE, "hood", "Hood", when="late"),
    _bolts("hinges", VEHICLE, "hood", "Hood hinge bolts", holds=("hood",), when="late"),
    _plug(
        "ground", VEHICLE, "battery", "Battery ground cable", "battery cable", current="ground", critical=True
    ),
    Thing("coolant", "fluid", VEHICLE, "drain", "Coolant", system="coolant", bleeds=True),
    Thing("oil", "fluid", ENGINE, "drain", "Engine oil", system="engine oil", critical=True),
    _bolts(
        "drain", ENGINE, "drain", "Oil drain plug", when="engine", system="engine oil", critical=True, n=1
    ),
    _plug("fuel", _ACROSS, "fuel", "Fuel feed line", "fuel line", critical=True),
    Thing("cap", "temporary", frozenset(), "fuel", "Cap in the line", when="engine", closes=("fuel",)),
    _plug("hose", _ACROSS, "radiator", "Upper hose", "coolant hose", system="coolant", joins=("radiator",)),
    Thing("radiator", "part", VEHICLE, "radiator", "Radiator"),
    _bolts("frame", VEHICLE, "radiator", "Radiator bolts", holds=("radiator",)),
    _plug("sensor", _ACROSS, "harness", "Crank sensor plug", "electrical connector", current="yes"),
    _plug("spare", VEHICLE, "harness", "Alarm plug", "electrical connector", current="yes", off="unused"),
    _plug("strap", _ACROSS, "harness", "Engine strap", "ground strap", current="yes", critical=True),
    Thing("pump", "part", VEHICLE, "accessories", "Power pump", off="aside"),
    _bolts("pipe", _ACROSS, "exhaust", "Downpipe nuts"),
    _bolts("housing", ENGINE | GEARBOX, "bellhousing", "Bellhousing bolts", critical=True),
    _bolts("mounts", _ACROSS, "lift_out", "Mount nuts", when="mounts", critical=True),
    Thing("clutch", "part", ENGINE, "mate", "Clutch plate", when="hidden", critical=True),
    _bolts("cover", ENGINE, "mate", "Clutch cover bolts", when="hidden", holds=("clutch",), critical=True),
    Thing("manifold", "part", ENGINE, "mate", "Manifold", when="bench"),
    Thing("gasket", "part", ENGINE, "mate", "Manifold gasket", when="bench", seals=("manifold",)),
    _bolts("nuts", ENGINE, "mate", "Manifold nuts", when="bench", holds=("manifold",), critical=True),
)
"""An engine swap with a thing of every sort, in the order of taking off."""
SHORT = {
    key: replace(SWAP[key], joins=())
    for key in ("ground", "oil", "drain", "hose", "strap", "housing", "mounts", "cover", "manifold", "gasket")
}
"""The same with fewer things."""
SHORT["cover"] = replace(SHORT["cover"], holds=())
FEW = {key: SHORT[key] for key in ("hose", "strap", "housing", "mounts", "cover")}
"""The same with what ties an engine, and what mating hides."""


@dataclass(frozen=True)
class Furnished:
    """A folder with a crew and a build.

    Args:
        keys: The device key of each phone, by whose it is.
        ids: The id of each thing, by its key.
    """

    path: Path
    things: dict[str, Thing]
    keys: dict[str, str]
    ids: dict[str, str]
    another: bool


def furnish(
    path: Path, route: str, things: dict[str, Thing], *, another: bool = True, layout_key: str = LAYOUT
) -> Furnished:
    """Let a crew of three into a folder, and make a build of which nothing is off.

    Args:
        path: The folder, without a build.
        route: How the engine leaves and comes back.
        things: What the build has.
        another: Another engine comes back than went out.
        layout_key: How the engine sits: all starter steps of another layout are there.
    """
    without = LEFT_OUT if layout_key == LAYOUT else ()
    folder = open_folder(path, now=NOW)
    with folder.database.unit_of_work() as session:
        made = {name: let_in(session, name=name, label="a phone", role=CREW[name], now=NOW) for name in CREW}
        device = made["Olive"][0]
        writer = Writer(device.person_id, device.id)
        is_swap = route != "none"
        build = new_build(
            session,
            title="A swap",
            vehicle="a van",
            layout_key=layout_key,
            units="N·m",
            dialect="us",
            writer=writer,
            now=stamp(NOW),
            without=without,
            swap=chosen_swap(Route(route), Route(route), new_engine=another and is_swap, gearbox=is_swap),
        )
        session.flush()
        steps = _steps(session, build.id, layout_key, without)
        ids = _add(session, build.id, things.values(), steps, writer)
    folder.close()
    return Furnished(path, things, {name: key for name, (_, key) in made.items()}, ids, another)


def _steps(session: Session, build: str, layout_key: str, without: Collection[str]) -> dict[str, str]:
    rows = session.scalars(select(Step.id).where(Step.build_id == build).order_by(Step.position))
    keys = (step["key"] for step in layout(layout_key)["steps"] if step["key"] not in without)
    called = _CALLED.get(layout_key, {})
    return {called.get(key, key): row for key, row in zip(keys, rows, strict=True)}


def _add(
    session: Session, build: str, things: Iterable[Thing], steps: Mapping[str, str], writer: Writer
) -> dict[str, str]:
    ids = {}
    for thing in things:
        item = item_of(thing, steps.get(thing.step, ""))
        ids[thing.key] = item.id
        line = writer.line(f"item:{item.id}", "add", AddItem(kind=item.kind).stored())
        add_item(session, item, line, build_id=build, now=stamp(NOW))
        assert session.get_one(ItemRow, item.id).critical == thing.critical, thing.key
    for thing in things:
        for rel in _RELATIONS:
            if targets := {ids[other] for other in getattr(thing, rel)}:
                line = writer.line(f"item:{ids[thing.key]}", "edit", {})
                assert set_edges(session, ids[thing.key], rel, targets, line, now=stamp(NOW)) is None
    return ids


def item_of(thing: Thing, step: str) -> Item:
    """Return a thing in the product's words: a group of two units says nothing of them, its step does."""
    kind, ties = Kind(thing.kind), sorted(thing.ties or ())
    owner = _OWNERS[ties[0]] if len(ties) == 1 else ""
    detail: Any = DETAIL[kind]()
    match kind:
        case Kind.CONNECTION:
            owners = [_OWNERS[each] for each in (ties * 2)[:2]] or ["", ""]
            ends = tuple(End(half, f"end {half}", own) for half, own in zip("AB", owners, strict=True))
            detail = Connection(thing.type, ends=ends)
        case Kind.FASTENER:
            detail = Fastener("M8x1.25x20", torque="25 N·m", one_time="no")
        case Kind.FLUID:
            detail = Fluid(thing.system, bleeds=thing.bleeds)
        case Kind.LOCATOR:
            detail = Locator("dowel")
        case Kind.TEMPORARY:
            detail = Temporary("cap")
    item = Item(new_id(), 0, kind, thing.name, step, n=thing.n, critical=thing.critical, owner=owner)
    return replace(item, detail=detail, system="" if kind is Kind.FLUID else thing.system)
