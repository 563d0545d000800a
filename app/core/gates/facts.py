"""What gates need of a build."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Generic

from app.core.consistency.findings import LOOKED_BEFORE, Finding
from app.core.gates.gates import GateFacts, clear_key, stays_off
from app.core.gates.kept import KeptCodes
from app.core.items.items import Item
from app.core.ledger.ledger import L, LedgerLine
from app.core.phases.barriers import Barriers
from app.core.phases.phases import Phases
from app.core.phases.sides import Sides
from app.core.phases.stages import Stage


@dataclass(frozen=True, slots=True)
class Acceptance:
    """Somebody accepts that a critical thing does not go back as it came off.

    Args:
        item: What.
        person: Who; `is_owner` says whether the build is theirs.
        reason: Why.
        seen: The tips of the thing's lines that they had seen: it lapses when the thing changes.
        day: ISO 8601.
        alone: They looked again themselves, because there is nobody else.
    """

    item: str
    person: str
    is_owner: bool
    reason: str
    seen: tuple[str, ...]
    day: str = ""
    alone: bool = False


@dataclass(frozen=True)
class BuildFacts(Generic[L]):
    """A build as gates see it.

    Args:
        lines: The whole ledger.
        phases: Where its units are.
        sides: What the sides of things follow from.
        barriers: The stage of each thing.
        told: What the gate was told: answers, passes, what stays off.
        positions: Step -> its place in the order of taking off.
        lift: The place of the step that lifts; `None` where there is none.
        findings: What the judge of sequence found and nobody has answered.
        once_critical: Ids of things that are not critical any more.
        acceptances: Who accepted what of the critical things that do not go back as they came off.
        asked_then: The questions that the newest clean pass had on its page; `None` where the pass, of an
            earlier version, does not say.
        deferred: Ids of things whose work waits for a step in the vehicle: in position is enough until then.
        kept: Why lines kept gates shut, as worked out before.
    """

    lines: tuple[L, ...]
    phases: Phases
    sides: Sides
    barriers: Barriers
    told: GateFacts = field(default_factory=GateFacts)
    positions: Mapping[str, int] = field(default_factory=dict)
    lift: int | None = None
    findings: tuple[Finding, ...] = ()
    once_critical: frozenset[str] = frozenset()
    acceptances: tuple[Acceptance, ...] = ()
    asked_then: frozenset[str] | None = None
    deferred: frozenset[str] = frozenset()
    kept: KeptCodes[L] = field(default_factory=KeptCodes, repr=False, compare=False)

    @property
    def basis(self) -> tuple[object, ...]:
        """All that it follows from, beside a line, whether the line keeps a gate shut."""
        told = (self.told.answers, self.stays_off)
        found = self.found, self.disturbed
        return self.sides, self.barriers, self.phases, found, told, self.positions, self.lift, self.deferred

    @cached_property
    def stays_off(self) -> frozenset[str]:
        """Ids of what was named to stay off at a trial start."""
        return stays_off(self.told)

    @cached_property
    def found(self) -> frozenset[str]:
        """Ids of the things whose line a finding reopens."""
        return frozenset(finding.item for finding in self.findings)

    @cached_property
    def disturbed(self) -> frozenset[str]:
        """Those of them of which more is wrong than that they want a second look again."""
        return frozenset(finding.item for finding in self.findings if finding.code != LOOKED_BEFORE)

    def stage(self, item: str) -> Stage | None:
        """Return when a thing goes back; `None` for one that is not known."""
        placed = self.barriers.placements.get(item)
        return placed.stage if placed else None

    def is_early(self, item: Item) -> bool:
        """Tell whether the plan has a thing's step before the lift."""
        return self.lift is not None and self.positions.get(item.step, self.lift + 1) <= self.lift

    def is_seen_clear(self, line: LedgerLine) -> bool:
        """Tell whether somebody saw it clear as it is now: whatever happened to it since asks again."""
        answer = self.told.answers.get(clear_key(line.item.id))
        if not answer or answer.disagree or not isinstance(answer.value, list):
            return False
        return set(map(str, answer.value)) == set(line.state.tips)
