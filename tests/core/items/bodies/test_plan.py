from typing import Any

import pytest

from app.core.items.bodies.base import Body
from app.core.items.bodies.plan import AddBuild, EditBuild, EditPlace, EditStep, StepBody, ZoneBody

HEX = "0" * 32
ZONE = {"id": HEX, "position": 1, "level": "above", "label": "left", "key": "l"}
STEP = {"id": HEX, "position": 2, "name": "engine out", "role": "lift", "cautions": ["crane_low"]}


def test_a_build_comes_into_being_with_the_zones_and_steps_of_its_layout() -> None:
    stored = {"title": "van", "zones": [ZONE], "steps": [STEP], "step_edges": [[HEX, HEX, "so"]]}
    build = AddBuild.read(stored)

    assert build.zones == (ZoneBody(id=HEX, position=1, level="above", label="left", key="l"),)
    assert build.steps == (
        StepBody(id=HEX, position=2, name="engine out", role="lift", cautions=("crane_low",)),
    )
    assert build.step_edges == ((HEX, HEX, "so"),)
    assert build.stored() == stored


@pytest.mark.parametrize(
    ("body", "stored"),
    [
        (AddBuild, {"zones": [ZONE, {"id": "x"}]}),
        (AddBuild, {"steps": [STEP | {"position": "2"}]}),
        (AddBuild, {"step_edges": [[HEX, 7]]}),
        (EditBuild, {"order": HEX}),
        (EditStep, {"exceptions": [[HEX, "twice", 1]]}),
        (EditStep, {"shares_zone": "yes"}),
        (EditPlace, {"name": None}),
    ],
)
def test_what_cannot_be_read_inside_a_list_is_named_by_the_field_of_the_line(
    body: type[Body], stored: dict[str, Any]
) -> None:
    problem = body.check(stored)

    assert problem is not None
    assert problem.where in stored


def test_a_step_with_no_step_before_it_differs_from_one_of_which_none_is_said() -> None:
    assert EditStep.read({"predecessors": []}).values("predecessors", "order") == {"predecessors": ()}
    assert EditStep.read({}).predecessors is None


def test_what_goes_with_a_deleted_step_is_read_as_it_is_stored() -> None:
    stored = {"deleted": "lift", "orders": [[HEX, HEX, "so"]], "exceptions": [[HEX, "twice", 1, "so"]]}
    read = EditStep.read(stored)

    assert EditStep.check(stored) is None
    assert (read.orders, read.exceptions) == (((HEX, HEX, "so"),), ((HEX, "twice", 1, "so"),))
    assert read.stored() == stored


def test_a_name_said_to_be_empty_is_a_change_and_one_not_said_is_none() -> None:
    assert EditStep.read({"name_back": ""}).values("name_back", "name") == {"name_back": ""}
