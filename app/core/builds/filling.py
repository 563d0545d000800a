"""In which step a fluid goes back in: where it is filled, not where it was drained."""

from collections.abc import Iterable

from app.core.builds.entry import StepFacts
from app.core.items.roles import Role

_FILLS = frozenset({Role.FILL, Role.BLEED})


def filling_step(fluid: str, steps: Iterable[StepFacts]) -> StepFacts | None:
    """Return the step in which a fluid is filled; `None` where no step fills.

    Of several it is the one that names the fluid, such as coolant where it is filled and bled; else the
    first whose role it is to fill.
    """
    fills = [step for step in steps if step.role in _FILLS and step.direction != "off_only"]
    said = fluid.casefold()
    named = [step for step in fills if said and said in f"{step.name} {step.name_back}".casefold()]
    return next(iter((*named, *(step for step in fills if step.role is Role.FILL))), None)
