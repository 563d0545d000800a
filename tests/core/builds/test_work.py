from dataclasses import replace

from app.core.builds.gates import gate_keys
from app.core.builds.readiness import can_do_now, demands
from app.core.builds.work import Work, jobs_of, zone_places
from app.core.items.items import Connection, Fastener, Fluid, Item, Part
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Role
from app.core.order.acts import StepEdge
from app.core.order.ready import Here
from app.store.db.clock import new_id
from app.store.db.models import Step
from app.store.plan.builds import layout
from app.store.plan.install_exceptions import write_step_order
from app.store.plan.items import set_edges
from tests.store.garage import NOW, Garage

KEYS = [step["key"] for step in layout("transverse")["steps"]]
HOOD, FILL, BATTERY, DRAIN, FUEL, INTAKE, HARNESS, DRIVESHAFTS, LIFT, BENCH, ALIGN = map(
    KEYS.index,
    (
        *("hood", "fill", "battery", "drain", "fuel", "intake", "harness", "shafts", "lift_out", "clutch"),
        "align",
    ),
)
"""Steps of the layout `transverse`, as it comes with the program."""


def take_off(garage: Garage, name: str, step: int | None, zone: int = 0) -> str:
    item_id = new_id()
    at = "" if step is None else garage.steps[step]
    garage.add(Item(item_id, 0, Kind.PART, name, at, garage.zones[zone], detail=Part()))
    return item_id


def tie(garage: Garage, frm: str, to: str) -> None:
    with garage.database.unit_of_work() as session:
        assert (
            set_edges(session, frm, "holds", {to}, garage.about(f"item:{frm}", "edit", {}), now=NOW) is None
        )


def mark(garage: Garage, item_id: str, act: Act) -> None:
    seen = garage.entry(item_id).state.tips
    line = garage.line(f"item:{item_id}", after=seen, act=act.value)
    assert garage.receive(line).status == 200


def works(garage: Garage, *, keep: bool = False) -> dict[str, Work]:
    """The work by step, a part counted: without the steps that are for the way back only."""
    now = garage.now()
    found = jobs_of(now, keep=keep)
    on_only = {step.id for step in now.steps if step.direction == "on_only"}
    named = (work for work in found if now.entries[work.lines[0]].item.step not in on_only)
    return {f"{work.name[:12]} {work.part}/{work.parts}": work for work in named}


def test_the_battery_is_joined_after_the_work_on_all_that_carries_current(garage: Garage) -> None:
    for name, sort, step in (("Battery ground", "battery cable", BATTERY), ("Plug", "sensor", HARNESS)):
        detail = Connection(sort)
        garage.add(Item(new_id(), 0, Kind.CONNECTION, name, garage.steps[step], detail=detail))
    take_off(garage, "manifold", INTAKE)
    found = works(garage)

    battery = next(work for name, work in found.items() if name.startswith("Battery on"))
    assert battery.job.after == {found["Engine plugs 1/1"].job.id}


def test_a_step_of_the_way_back_is_one_job_with_what_is_left_of_it(garage: Garage) -> None:
    first, _ = take_off(garage, "a", DRIVESHAFTS), take_off(garage, "b", DRIVESHAFTS)
    (work,) = works(garage).values()
    assert (work.job.height, work.job.people, work.job.minutes, work.open) == ("stands", 2, 90, 2)
    assert work.job.zone == garage.zones[0]

    mark(garage, first, Act.PLACED)
    (work,) = works(garage).values()
    assert (work.job.minutes, work.open, len(work.lines)) == (45, 1, 2)


def test_what_is_all_back_is_done_and_stays_in_the_picture(garage: Garage) -> None:
    mark(garage, take_off(garage, "a", INTAKE), Act.PLACED)
    (work,) = works(garage).values()
    assert (work.open, work.job.minutes) == (0, 0)


def test_a_step_waits_for_what_its_things_hold_until_that_is_in(garage: Garage) -> None:
    bracket, bolt = take_off(garage, "bracket", HARNESS), take_off(garage, "bolt", INTAKE)
    take_off(garage, "clip", HARNESS)
    tie(garage, bolt, bracket)
    found = works(garage)
    assert found["Battery tray 1/1"].job.after == {found["Engine plugs 1/1"].job.id}

    mark(garage, bracket, Act.PLACED)
    after = works(garage)["Battery tray 1/1"]
    assert works(garage)["Engine plugs 1/1"].open == 1
    assert not after.job.after
    assert after.needs == {found["Engine plugs 1/1"].job.id}


def test_steps_that_hold_each_other_crosswise_are_cut(garage: Garage) -> None:
    a, b = take_off(garage, "a", INTAKE), take_off(garage, "b", HARNESS)
    c, d = take_off(garage, "c", INTAKE), take_off(garage, "d", HARNESS)
    tie(garage, a, b)
    tie(garage, d, c)
    found = works(garage)
    assert {key: work.lines for key, work in found.items()} == {
        "Engine plugs 1/2": (b,), "Battery tray 1/2": (c,),
        "Engine plugs 2/2": (d,), "Battery tray 2/2": (a,),
    }  # fmt: skip
    assert found["Engine plugs 2/2"].job.after == {c}
    assert found["Battery tray 2/2"].job.after == {b}
    assert [work.job.minutes for work in found.values()] == [45, 22, 45, 22]


def test_the_bench_asks_for_no_height_and_what_has_no_step_for_five_minutes(garage: Garage) -> None:
    take_off(garage, "clutch", BENCH)
    take_off(garage, "found on the floor", None)
    found = works(garage)
    assert {work.name: work.job.height for work in found.values()} == {
        "": "", garage.now().steps[BENCH].name_back: "",
    }  # fmt: skip
    assert found[" 1/1"].job.minutes == 5


def test_what_came_off_in_a_step_for_taking_off_only_is_left_over_from_it(garage: Garage) -> None:
    take_off(garage, "plug", DRAIN)
    (work,) = works(garage).values()
    assert work.leftover
    assert (work.job.height, work.job.minutes, work.job.people) == ("stands", 5, 1)


def test_the_plain_reverse_is_kept_where_work_meets(garage: Garage) -> None:
    take_off(garage, "hood", HOOD, zone=1)
    take_off(garage, "intake", INTAKE, zone=1)
    take_off(garage, "harness", HARNESS, zone=2)
    found = works(garage, keep=True)
    assert found["Hood back on 1/1"].job.after == {found["Battery tray 1/1"].job.id}
    assert not found["Battery tray 1/1"].job.after
    assert not any(work.job.after for work in works(garage).values())


def test_nothing_passes_the_lift_of_the_engine(garage: Garage) -> None:
    take_off(garage, "hood", HOOD, zone=1)
    take_off(garage, "mount", LIFT, zone=2)
    take_off(garage, "clutch", BENCH, zone=3)
    found = list(works(garage, keep=True).values())
    clutch, mount, hood = found
    assert clutch.job.id in mount.job.after
    assert hood.job.after == {mount.job.id}


def test_filling_comes_after_all_that_stands_before_it(garage: Garage) -> None:
    take_off(garage, "battery", BATTERY)
    found = {work.job.id: work for work in jobs_of(garage.now())}
    fill = found[garage.steps[FILL]]
    before = {found[i].name for i in fill.job.after}
    assert before >= {garage.now().steps[BATTERY].name_back, garage.now().steps[ALIGN].name}
    assert not any(garage.steps[FILL] in found[i].job.after for i in fill.job.after)


def test_the_battery_waits_for_the_plugs_and_the_fuel_line_however_they_came_off(garage: Garage) -> None:
    for name, step in (("plug", HARNESS), ("fuel line", FUEL), ("battery cable", BATTERY)):
        take_off(garage, name, step, zone=step)
    found = works(garage)
    battery = found["Battery on 1/1"].job.after
    assert battery == {found["Engine plugs 1/1"].job.id, found["Fuel line cl 1/1"].job.id}


def test_what_was_drained_is_filled_where_one_fills_after_all_before_it(garage: Garage) -> None:
    garage.add(Item(new_id(), 0, Kind.FLUID, "coolant", garage.steps[DRAIN], "", detail=Fluid()))
    take_off(garage, "hose", INTAKE, zone=1)
    found = works(garage, keep=True)
    fluid = next(e.item.id for e in garage.now().items if e.item.kind is Kind.FLUID)
    [coolant] = [work for work in found.values() if fluid in work.lines]
    fill = garage.now().step[garage.steps[FILL]]
    assert (coolant.name, coolant.leftover, coolant.job.height) == (fill.name, False, fill.height)
    assert found["Battery tray 1/1"].job.id in coolant.job.after


def test_recorded_minutes_go_before_the_plans(garage: Garage) -> None:
    take_off(garage, "a", INTAKE)
    (work,) = (
        w for w in jobs_of(garage.now(), {garage.steps[INTAKE]: (30, 0)}) if w.name.startswith("Battery tray")
    )
    assert work.job.minutes == 30


def test_zones_lie_where_the_drawing_has_them_and_those_below_far_from_those_above(garage: Garage) -> None:
    now = garage.now()
    places = zone_places(now, layout(now.layout)["zones"])
    assert len(places) == len([zone for zone in now.zones if zone.key])
    highest = max(places[zone.id][1] for zone in now.zones if zone.level == "above")
    assert all(places[zone.id][1] > highest for zone in now.zones if zone.level == "below")


def test_a_stated_order_of_steps_holds_in_the_plan(garage: Garage) -> None:
    take_off(garage, "hood", HOOD, zone=1)
    take_off(garage, "mount", LIFT, zone=2)
    found = list(works(garage).values())
    assert all(not work.job.after for work in found)
    with garage.database.unit_of_work() as session:
        step = session.get_one(Step, garage.steps[LIFT])
        write_step_order(session, step, [StepEdge(garage.steps[HOOD], step.id, "room for the crane")])
    by_name = works(garage)
    hood, mount = (
        next(w for name, w in by_name.items() if name.startswith(word)) for word in ("Hood", "Engine")
    )
    assert hood.job.id in mount.job.after


def test_no_caution_decides_anything(garage: Garage) -> None:
    for step in (HOOD, INTAKE, HARNESS, LIFT, BENCH):
        take_off(garage, f"thing {step}", step, zone=step)
    now = garage.now()
    keys = sorted({key for step in now.steps for key in step.cautions})
    for cautions in ((), tuple(keys)):
        other = replace(now, steps=tuple(replace(step, cautions=cautions) for step in now.steps))
        assert jobs_of(other) == jobs_of(now)
        assert can_do_now(other, Here()) == can_do_now(now, Here())
        assert demands(other) == demands(now)
        assert gate_keys(other) == gate_keys(now)


def test_a_step_added_by_hand_is_the_lift_once_it_has_the_role(garage: Garage) -> None:
    take_off(garage, "hood", HOOD, zone=1)
    take_off(garage, "mount", LIFT, zone=2)
    take_off(garage, "clutch", BENCH, zone=3)
    now = garage.now()
    bare = replace(now, steps=tuple(replace(step, role=Role.NONE, cautions=()) for step in now.steps))
    assert not any(work.job.after for work in jobs_of(bare) if "in" in work.name.split())
    told = replace(
        bare,
        steps=tuple(
            replace(step, role=Role.LIFT) if step.id == garage.steps[LIFT] else step for step in bare.steps
        ),
    )
    (lift,) = (work for work in jobs_of(told) if work.name == "Engine and transmission in")
    assert lift.job.after


def test_what_needs_the_wheels_waits_for_what_lets_the_vehicle_stand_on_them(garage: Garage) -> None:
    take_off(garage, "Hood", HOOD, zone=1)
    nuts = Item(new_id(), 0, Kind.FASTENER, "Axle nut", garage.steps[DRIVESHAFTS], garage.zones[2], n=1)
    garage.add(replace(nuts, detail=Fastener()))
    found = works(garage)
    hood = next(work for name, work in found.items() if name.startswith("Hood"))
    [shafts] = [work for work in found.values() if nuts.id in work.lines]

    assert hood.job.height == "wheels"
    assert shafts.job.id in hood.job.after


def test_what_comes_before_all_that_lets_the_vehicle_stand_cannot_be_done_on_its_wheels(
    garage: Garage,
) -> None:
    nuts = Item(new_id(), 0, Kind.FASTENER, "Axle nut", garage.steps[HOOD], garage.zones[2], n=1)
    garage.add(replace(nuts, detail=Fastener()))
    tray = take_off(garage, "Tray", BATTERY, zone=1)
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{nuts.id}", "edit", {})
        assert set_edges(session, nuts.id, "holds", {tray}, line, now=NOW) is None

    found = {line: work for work in jobs_of(garage.now(), keep=False) for line in work.lines}
    assert garage.now().steps[BATTERY].height == "wheels"
    assert found[tray].cannot_stand
    assert not found[nuts.id].cannot_stand


def test_what_went_in_out_of_turn_is_met_and_ties_no_knot(garage: Garage) -> None:
    fluid = new_id()
    garage.add(Item(fluid, 0, Kind.FLUID, "oil", garage.steps[DRAIN], "", detail=Fluid("engine oil")))
    bolts = new_id()
    detail = Fastener(torque="25 N·m")
    garage.add(Item(bolts, 0, Kind.FASTENER, "bolts", garage.steps[INTAKE], "", n=1, detail=detail))
    cover, clip = take_off(garage, "cover", HARNESS), take_off(garage, "clip", INTAKE)
    tie(garage, bolts, fluid)
    tie(garage, cover, bolts)
    tie(garage, clip, cover)
    mark(garage, bolts, Act.PLACED)
    found = jobs_of(garage.now())

    places = {line: nth for nth, work in enumerate(found) for line in work.lines}
    assert places[cover] < places[clip] <= places[bolts]
