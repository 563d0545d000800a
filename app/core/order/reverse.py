"""The plain reverse: where things, and the steps they are in, stand in it."""

from collections import defaultdict
from collections.abc import Mapping
from functools import cached_property

from app.core.order.acts import Plan, Thing
from app.core.order.replacements import Replacements
from app.core.order.sorting import Removal, plain_reverse


class Reverse:
    """Where things and steps stand.

    Args:
        plan: All that the order follows from.
        things: What goes back, by id.
        replacements: Who stands for whom.
    """

    def __init__(self, plan: Plan, things: Mapping[str, Thing], replacements: Replacements) -> None:
        position = {step.id: step.position for step in plan.steps}
        known: dict[str, Removal] = {
            thing.id: (position.get(thing.step, -1), thing.off_seq)
            for thing in plan.things
            if thing.id in things or thing.id in replacements.news
        }
        empty = {exception.step for exception in plan.install_exceptions} - {
            thing.step for thing in things.values()
        }
        known |= {step.id: (step.position, 0) for step in plan.steps if step.id in empty}
        olds: dict[str, str] = {}
        for edge in plan.edges:
            if edge.rel == "replaces" and edge.frm in known and edge.to in known:
                had = olds.get(edge.frm)
                if had is None or known[had][1] < known[edge.to][1]:
                    olds[edge.frm] = edge.to
        self.of_thing = plain_reverse(known, olds)
        self._things = things

    @cached_property
    def _of_step(self) -> Mapping[str, list[int]]:
        found: dict[str, list[int]] = defaultdict(list)
        for thing in self._things.values():
            found[thing.step].append(self.of_thing[thing.id])
        return found

    def start_of_step(self, step: str) -> float:
        """Return where a step begins in the reverse."""
        return min(self._of_step.get(step) or [self.of_thing[step]]) - 0.5

    def end_of_step(self, step: str) -> float:
        """Return where a step ends; one that is a line itself ends with it."""
        if step in self.of_thing:
            return self.of_thing[step] - 0.25
        return max(self._of_step[step]) + 0.5
