"""What a cap may close, and which caps close nothing that anybody named."""

from app.core.builds.openings import caps_of_no_opening, may_be_closed
from app.core.items.items import DETAIL, Item
from app.core.items.kinds import Act, Kind
from app.store.db.clock import new_id
from tests.store.garage import Garage


def add(garage: Garage, kind: Kind, zone: int, act: Act = Act.OFF) -> str:
    item = Item(new_id(), 0, kind, "it", garage.steps[0], garage.zones[zone], detail=DETAIL[kind]())
    garage.add(item, act=act)
    return item.id


def test_the_newest_of_the_zone_in_hand_comes_first_and_what_opens_nothing_never(garage: Garage) -> None:
    old, far, near = (add(garage, Kind.CONNECTION, zone) for zone in (0, 1, 0))
    add(garage, Kind.TEMPORARY, 0, Act.FITTED)
    add(garage, Kind.FLUID, 0, Act.DRAINED)
    build = garage.now()

    assert [entry.item.id for entry in may_be_closed(build, garage.zones[0], 12)] == [near, old, far]
    assert [entry.item.id for entry in may_be_closed(build, "", 2)] == [near, far]


def test_a_cap_that_is_out_or_whose_opening_is_named_is_not_asked_about(garage: Garage) -> None:
    cap = add(garage, Kind.TEMPORARY, 0, Act.FITTED)
    hose = add(garage, Kind.CONNECTION, 0)
    tied = garage.capture(code="7K3F9QQ", kind="temporary", closes=hose)
    assert garage.receive(tied).status == 200
    assert [entry.item.id for entry in caps_of_no_opening(garage.now(), garage.now().items)] == [cap]

    out = garage.line(f"item:{cap}", after=garage.entry(cap).state.tips, act="out")
    assert garage.receive(out).status == 200
    assert caps_of_no_opening(garage.now(), garage.now().items) == []
