"""What of a build the judge of sequence gets."""

import pytest

from app.core.builds.scenes import scene_of
from app.core.consistency.scene import Expected
from app.core.items.items import Connection, Fluid, Item, Part
from app.core.items.kinds import Kind
from app.core.phases.routes import Route
from app.core.phases.swap import Swap, chosen_swap
from tests.store.garage import Garage
from tests.swaps import ENGINE_UP

SAME_ENGINE = chosen_swap(Route.TOGETHER_UP, Route.TOGETHER_UP, new_engine=False, gearbox=True)
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


@pytest.mark.parametrize(
    ("system", "swap", "is_dry"),
    [
        ("engine oil", ENGINE_UP, True),
        ("coolant", ENGINE_UP, True),
        ("gearbox", ENGINE_UP, False),
        ("engine oil", SAME_ENGINE, False),
        ("coolant", SAME_ENGINE, False),
    ],
)
def test_another_engine_is_filled_from_empty(
    garage: Garage, system: str, swap: Swap, *, is_dry: bool
) -> None:
    garage.is_about(swap)
    garage.add(Item(OIL, 0, Kind.FLUID, "Fluid", detail=Fluid(system, capacity_l=5.0, dry_l=6.5)))

    assert garage.now().scene.expected[OIL] == Expected(5.0, 6.5, is_dry=is_dry)


def test_a_system_with_a_new_radiator_is_filled_from_empty(garage: Garage) -> None:
    garage.is_about(SAME_ENGINE)
    garage.add(Item(OIL, 0, Kind.FLUID, "Fluid", detail=Fluid("coolant", dry_l=9.0)))
    garage.add(Item(PLUG, 0, Kind.PART, "Radiator", system="coolant", detail=Part()))
    assert not garage.now().scene.expected[OIL].is_dry
    seen = garage.entry(PLUG).state.tips
    said = garage.line(f"item:{PLUG}", "dispose", after=seen, destiny="replaced")
    assert garage.receive(said).status == 200

    assert garage.now().scene.expected[OIL].is_dry
