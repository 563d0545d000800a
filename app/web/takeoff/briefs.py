"""What is read before a step: its cautions and how it is done, folded to one line once the step has begun."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.core.builds.snapshot import Snapshot, StepFacts
from app.core.items.roles import Way
from app.core.items.step_names import step_instruction
from app.web.site.wording import cautions, in_dialect


@dataclass(frozen=True, slots=True)
class Brief:
    """What is read before one step.

    Args:
        step: The step's id.
        line: What it is folded to: the titles of the cautions, or that there is something to read.
        how: The instruction; empty where there is none.
        cautions: Each with its title and text.
        is_current: Whether it is the step in hand.
        has_begun: Whether something of the step is off already, so that it was read.
    """

    step: str
    line: str
    how: str
    cautions: tuple[tuple[str, str], ...]
    is_current: bool
    has_begun: bool

    @property
    def is_unread(self) -> bool:
        """Whether it stands open once its step is in hand: that begins, and there is something to mind."""
        return bool(self.cautions) and not self.has_begun


def briefs(build: Snapshot, steps: Iterable[StepFacts], current: str) -> tuple[Brief, ...]:
    """Return what is read before each step that has something to read.

    Args:
        build: As it stands.
        steps: Those that can be in hand.
        current: The id of the step in hand; empty for none.
    """
    begun = {entry.item.step for entry in build.items if entry.begun}
    each = (_brief(step, step.id == current, step.id in begun) for step in steps)
    return tuple(brief for brief in each if brief.how or brief.cautions)


def _brief(step: StepFacts, is_current: bool, has_begun: bool) -> Brief:
    told = tuple((in_dialect(c["title"]), in_dialect(c["text"])) for c in cautions(step.cautions))
    how = in_dialect(step_instruction(step, Way.OFF))
    line = ", ".join(title for title, _ in told) or "How it is done"
    return Brief(step.id, line, how, told, is_current, has_begun)
