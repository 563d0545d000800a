"""A fluid goes back where it is filled."""

import pytest

from app.core.builds.entry import StepFacts
from app.core.builds.filling import filling_step
from app.core.items.roles import Role


def step(key: str, name: str, role: Role, direction: str = "on_only", name_back: str = "") -> StepFacts:
    return StepFacts(key, 1, name, "wheels", 1, 30, direction, (), 1, role=role, name_back=name_back)


DRAIN = step("drain", "Drain coolant and oil", Role.DRAIN, "off_only")
BLEED = step("bleed", "Fill and bleed the coolant", Role.BLEED)
FILL = step("fill", "Fill engine oil and gear oil", Role.FILL)


@pytest.mark.parametrize(
    ("name", "steps", "filled"),
    [
        ("coolant", (BLEED, FILL, DRAIN), "bleed"),
        ("gear oil", (BLEED, FILL, DRAIN), "fill"),
        ("clutch fluid", (BLEED, FILL, DRAIN), "fill"),
        ("", (BLEED, FILL, DRAIN), "fill"),
        ("coolant", (FILL, DRAIN), "fill"),
        ("engine oil", (BLEED, DRAIN), None),
        ("engine oil", (step("d", "Drain the engine oil", Role.FILL, "off_only"),), None),
        ("coolant", (step("w", "Water", Role.FILL, "both", "Coolant in"), FILL), "w"),
    ],
)
def test_a_fluid_is_filled_in_the_step_that_names_it_else_in_the_first_that_fills(
    name: str, steps: tuple[StepFacts, ...], filled: str | None
) -> None:
    found = filling_step(name, steps)

    assert (found.id if found else None) == filled
