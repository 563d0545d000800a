"""In which step a fluid goes back in: where it is filled, not where it was drained."""

from collections.abc import Iterable

from app.core.builds.entry import StepFacts
from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role

_FILLS = frozenset({Role.FILL, Role.BLEED})


def filling_step(item: Item, steps: Iterable[StepFacts]) -> StepFacts | None:
    """Return the step in which a fluid is filled; `None` for what is no fluid, or where no step fills.

    Of several it is the one that names the fluid, such as coolant where it is filled and bled; else the
    first whose role it is to fill.
    """
    if item.kind is not Kind.FLUID:
        return None
    fills = [step for step in steps if step.role in _FILLS and step.direction != "off_only"]
    fluid = item.type.casefold()
    named = [step for step in fills if fluid and fluid in f"{step.name} {step.name_back}".casefold()]
    return next(iter((*named, *(step for step in fills if step.role is Role.FILL))), None)
