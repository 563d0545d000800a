"""What of a build the judge of sequence gets."""

from app.core.builds.scenes import scene_of
from app.core.items.items import Connection, Fluid, Item, Part
from app.core.items.kinds import Kind
from tests.store.garage import Garage

OIL, PLUG, HOSE = "a" * 32, "b" * 32, "c" * 32


def test_the_scene_knows_systems_capacities_and_marks(garage: Garage) -> None:
    garage.add(Item(OIL, 0, Kind.FLUID, "Oil", detail=Fluid("engine oil", capacity_l=5.7)))
    garage.add(Item(PLUG, 0, Kind.PART, "Drain plug", system="engine oil", detail=Part()))
    garage.add(Item(HOSE, 0, Kind.CONNECTION, "Hose", detail=Connection("coolant hose")))
    build = garage.now()
    scene = scene_of(build.entries, build.edges, build.phases, build.sides, build.outstanding)

    assert scene.systems == {PLUG: "engine oil", HOSE: "coolant"}
    assert scene.expected[OIL].refill_l == 5.7
    assert scene.things[PLUG].state == build.entries[PLUG].state
    assert scene.away == frozenset()


def test_the_order_knows_the_systems_too(garage: Garage) -> None:
    garage.add(Item(OIL, 0, Kind.FLUID, "Oil", detail=Fluid("engine oil")))
    garage.add(Item(PLUG, 0, Kind.PART, "Drain plug", system="engine oil", detail=Part()))
    garage.add(Item(HOSE, 0, Kind.CONNECTION, "Hose", detail=Connection("coolant hose")))
    entries = garage.now().entries

    assert {i: entries[i].thing.system for i in (OIL, PLUG, HOSE)} == {
        OIL: "engine oil", PLUG: "engine oil", HOSE: "coolant",
    }  # fmt: skip
