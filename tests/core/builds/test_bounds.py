"""What comes before and after each milestone, and that the plan keeps to it under every choice."""

import pytest

from app.core.builds.bounds import bounds_of
from app.core.builds.work import jobs_of
from app.core.items.items import Connection, End, Fastener, Item, Part
from app.core.items.kinds import Act, Kind
from tests.store.garage import Garage
from tests.swaps import ENGINE_UP

CLUTCH, NUTS, HOSE, HOUSING = "a" * 32, "b" * 32, "c" * 32, "d" * 32


def dressed_first(garage: Garage) -> None:
    """The clutch is marked off last of all, on the stand, after the mount nuts."""
    garage.is_about(ENGINE_UP)
    ends = (End("A", "radiator", "vehicle"), End("B", "block", "old engine"))
    made = (
        Item(HOSE, 0, Kind.CONNECTION, "Hose", detail=Connection("coolant hose", ends=ends)),
        Item(HOUSING, 0, Kind.FASTENER, "Bellhousing bolts", garage.step("split"), n=2, detail=Fastener()),
        Item(NUTS, 0, Kind.FASTENER, "Mount nuts", garage.step("lift_out"), n=2, detail=Fastener()),
        Item(CLUTCH, 0, Kind.PART, "Clutch cover", garage.step("clutch"), owner="new engine", detail=Part()),
    )
    for item in made:
        garage.add(item, act=Act.OFF)


@pytest.mark.parametrize("keep", [True, False])
def test_the_plan_puts_the_clutch_on_before_the_lift_under_every_choice(garage: Garage, keep: bool) -> None:
    dressed_first(garage)
    works = jobs_of(garage.now(), keep=keep)
    at = {line: nth for nth, work in enumerate(works) for line in work.lines}
    needs = {work.job.id: work.needs for work in works}
    home = {line: work.job.id for work in works for line in work.lines}

    assert at[CLUTCH] < at[NUTS]
    assert at[CLUTCH] < at[HOSE]
    assert home[CLUTCH] in needs[home[NUTS]]
    assert home[NUTS] in needs[home[HOSE]]


def test_bounds_name_what_is_on_each_side(garage: Garage) -> None:
    dressed_first(garage)
    found = bounds_of(garage.now().graph)
    lift_in = next(lines for lines in found.before if CLUTCH in lines)
    assert NUTS not in lift_in
    assert found.after.get(HOSE, 0) > found.after.get(CLUTCH, 0)
