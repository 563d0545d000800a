"""What of a build the judge of sequence gets."""

from app.core.builds.scenes import scene_of
from app.core.items.items import Fluid, Item, Part
from app.core.items.kinds import Kind
from tests.store.garage import Garage

OIL, PLUG = "a" * 32, "b" * 32


def test_the_scene_knows_systems_capacities_and_marks(garage: Garage) -> None:
    garage.add(Item(OIL, 0, Kind.FLUID, "Oil", detail=Fluid("engine oil", capacity_l=5.7)))
    garage.add(Item(PLUG, 0, Kind.PART, "Drain plug", system="engine oil", detail=Part()))
    build = garage.now()
    scene = scene_of(build.entries, build.edges, build.phases, build.sides, build.outstanding)

    assert scene.systems == {PLUG: "engine oil"}
    assert scene.expected[OIL].refill_l == 5.7
    assert scene.things[PLUG].state == build.entries[PLUG].state
    assert scene.away == frozenset()
