from app.core.builds.readiness import can_do_now, demands, stuck
from app.core.items.items import Fluid, Item, Part
from app.core.items.kinds import Act, Kind
from app.core.order.ready import Here
from app.store.db.clock import new_id
from app.store.db.models import Step
from tests.store.garage import Garage


def taken_off(garage: Garage, *names: str, kind: Kind = Kind.PART) -> list[str]:
    detail = Fluid(system="coolant") if kind is Kind.FLUID else Part()
    ids = [new_id() for _ in names]
    for item_id, name in zip(ids, names, strict=True):
        first = Act.DRAINED if kind is Kind.FLUID else Act.OFF
        garage.add(Item(item_id, 0, kind, name, garage.steps[0], garage.zones[0], detail=detail), act=first)
    return ids


def change_step(garage: Garage, **values: object) -> None:
    with garage.database.unit_of_work() as session:
        step = session.get_one(Step, garage.steps[0])
        for name, value in values.items():
            setattr(step, name, value)


def test_a_step_shares_its_minutes_out_among_its_things_rounded_up(garage: Garage) -> None:
    a, b, c = taken_off(garage, "a", "b", "c")
    change_step(garage, minutes=40, people=2, height="stands")

    asked = demands(garage.now())

    assert [asked[item].minutes for item in (a, b, c)] == [14, 14, 14]
    assert (asked[a].people, asked[a].height, asked[a].zone) == (2, "stands", garage.zones[0])


def test_what_was_drained_in_a_step_for_taking_off_is_filled_where_one_fills(garage: Garage) -> None:
    (coolant,) = taken_off(garage, "Coolant", kind=Kind.FLUID)
    change_step(garage, direction="off_only", people=2, height="lift")

    asked = demands(garage.now())[coolant]

    assert (asked.height, asked.people) == ("wheels", 2)


def test_work_that_asks_for_skill_is_not_for_anybody_whatever_its_cautions(garage: Garage) -> None:
    (item,) = taken_off(garage, "Cover")
    change_step(garage, for_helper=True, cautions=["fuel_pressure"])
    assert demands(garage.now())[item].for_anybody

    change_step(garage, for_helper=False, cautions=[])
    assert not demands(garage.now())[item].for_anybody


def test_a_thing_without_a_name_is_not_for_anybody(garage: Garage) -> None:
    (item,) = taken_off(garage, "")

    assert not demands(garage.now())[item].for_anybody


def test_what_is_undecided_or_contradicted_is_stuck_and_not_ready(garage: Garage) -> None:
    a, b, c = taken_off(garage, "a", "b", "c")
    seen = garage.entry(a).state.tips
    garage.receive(garage.line(f"item:{a}", "dispose", after=seen, destiny="undecided"))
    seen = garage.entry(b).state.tips
    for act in ("placed", "aside"):
        garage.receive(garage.line(f"item:{b}", after=seen, act=act))

    still_apart = can_do_now(garage.now(), Here(2, "wheels", 600))
    assert c not in still_apart.ready
    assert ("apart", c) in {(each.code, each.item) for each in still_apart.held}

    turned = garage.line(f"build:{garage.build}", "turn", units=["vehicle"], to="together")
    assert garage.receive(turned).status == 200
    build = garage.now()
    assert stuck(build) == {a: "undecided", b: "disagree"}
    ready = can_do_now(build, Here(2, "wheels", 600)).ready
    assert a not in ready
    assert b not in ready
    assert c in ready
