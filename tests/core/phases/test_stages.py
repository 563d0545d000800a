"""When a thing goes back, as its ends, its step and its name say."""

import pytest

from app.core.items.kinds import Kind
from app.core.phases.routes import Route
from app.core.phases.stages import Stage
from tests.core.phases.swap import hose, stage, thing


@pytest.mark.parametrize(
    ("route", "ends", "expected"),
    [
        (Route.ENGINE_UP, ("old engine", "old engine"), Stage.BENCH),
        (Route.ENGINE_UP, ("vehicle", "old engine"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("vehicle", "gearbox"), Stage.VEHICLE),
        (Route.TOGETHER_UP, ("vehicle", "gearbox"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("new engine", "gearbox"), Stage.MATING),
        (Route.TOGETHER_UP, ("old engine", "gearbox"), Stage.MATING),
        (Route.SUBFRAME_DOWN, ("old engine", "subframe"), Stage.CART),
        (Route.SUBFRAME_DOWN, ("gearbox", "subframe"), Stage.CART),
        (Route.ENGINE_UP, ("old engine", "subframe"), Stage.AFTER_LANDING),
        (Route.SUBFRAME_DOWN, ("vehicle", "subframe"), Stage.AFTER_LANDING),
        (Route.ENGINE_UP, ("vehicle", "vehicle"), Stage.VEHICLE),
        (Route.ENGINE_UP, ("old engine", ""), Stage.NOT_SAID),
        (Route.ENGINE_UP, ("part", "old engine"), Stage.NOT_SAID),
        (Route.NONE, ("vehicle", "old engine"), Stage.VEHICLE),
    ],
)
def test_the_ends_of_a_connection_say_when_it_goes_back(
    route: Route, ends: tuple[str, str], expected: Stage
) -> None:
    assert stage(hose(*ends), route=route) is expected


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        ("", Stage.NOT_SAID),
        ("hood", Stage.NOT_SAID),
        ("radiator", Stage.AFTER_LANDING),
        ("clutch", Stage.BENCH),
    ],
)
def test_what_is_not_said_takes_its_steps_role(step: str, expected: Stage) -> None:
    assert stage(hose("old engine", "", step=step)) is expected
    assert stage(thing(Kind.PART, "Bracket", "vehicle", step)) is expected


@pytest.mark.parametrize(
    ("name", "step", "expected"),
    [
        ("Flywheel bolts", "clutch", Stage.BEFORE_MATING),
        ("Bellhousing bolts", "split", Stage.MATING),
        ("Converter bolts", "split", Stage.MATING),
        ("Mount nuts", "lift", Stage.BEFORE_LANDING),
        ("Valve cover bolts", "clutch", Stage.BENCH),
        ("Clutch slave bolts", "split", Stage.MATING),
    ],
)
def test_a_group_goes_by_what_mating_hides_then_by_its_steps_role(
    name: str, step: str, expected: Stage
) -> None:
    assert stage(thing(Kind.FASTENER, name, "vehicle", step)) is expected
