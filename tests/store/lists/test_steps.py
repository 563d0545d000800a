from app.core.builds.order_lines import order_lines
from tests.store.garage import Garage
from tests.store.lists.taking import bare, take


def test_a_known_step_is_changed_and_a_new_one_stands_by_its_neighbour(garage: Garage) -> None:
    before = [step.name for step in garage.now().steps]
    effect = take(
        garage,
        "step,kind,name,height,minutes",
        "Steps of an own kind,part,A,bench,",
        f'"{before[6].upper()}",part,B,,99',
        "One more,part,C,,",
    )
    steps = garage.now().steps

    assert [s.name for s in steps] == [
        *before[:6], "Steps of an own kind", before[6], "One more", *before[7:],
    ]  # fmt: skip
    assert (effect.steps, effect.edited) == (("Steps of an own kind", "One more"), (before[6].upper(),))
    assert [(s.height, s.minutes, s.people, s.direction) for s in (steps[6], steps[8])] == [
        ("bench", 30, 1, "both"),
        ("wheels", 30, 1, "both"),
    ]
    assert (steps[7].minutes, steps[7].rev) == (99, 2)
    assert [s.position for s in steps] == list(range(len(steps)))


def test_a_step_of_a_starters_name_has_its_cautions(garage: Garage) -> None:
    name = next(step.name for step in garage.now().steps if step.cautions)
    take(bare(garage), "step,kind", f'"{name}",step')

    assert garage.now().steps[0].cautions


def test_steps_on_the_way_back_and_steps_without_items_stand_where_the_list_has_them(garage: Garage) -> None:
    take(
        bare(garage), "step,kind,name,direction", "Hood,step,,both", "Fuel,part,Tank,both",
        "Shields,step,,both", "Start,step,,on only", "Drain,step,,off only", "Lift,part,Engine,",
    )  # fmt: skip

    lines = order_lines(garage.now(), as_listed=True)
    assert [(line.name, line.kind, line.act) for line in lines] == [
        ("Engine", "part", "placed"),
        ("Start", "step", "done"),
        ("Shields", "step", "done"),
        ("Tank", "part", "placed"),
        ("Hood", "step", "done"),
    ]
