"""What a build consists of: its zones, steps and places, and the lines of its ledger as they stand."""

from dataclasses import dataclass, field, replace

from app.core.consistency.findings import LOOKED_BEFORE
from app.core.consistency.scene import Seen
from app.core.consistency.times import NO_TIMES, Times
from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.items.state import ItemState
from app.core.ledger.ledger import DONE_AGAIN, Reason, has_begun, is_unused
from app.core.order.acts import Progress, Thing, progress_of, thing_of
from app.core.tightening.stages import Rung, rungs_ahead

GOES_BACK = frozenset({"refit", "transfer", "undecided"})


@dataclass(frozen=True, slots=True)
class ZoneFacts:
    """A zone of the build."""

    id: str
    key: str
    level: str
    label: str


@dataclass(frozen=True, slots=True)
class StepFacts:
    """A step of the plan.

    Args:
        position: Counts in the order of taking off.
        name, instruction: Of taking off, or of the only way that it goes.
        name_back, instruction_back: Of putting back; see `step_name`.
        cautions: Keys of what is shown with it; nothing follows from them.
        shares_zone: Another step that says so too may go on in the same zone at the same time.
        role: What it is for.
        for_helper: It asks for care and no skill: somebody who knows nothing of it may do it.
    """

    id: str
    position: int
    name: str
    height: str
    people: int
    minutes: int
    direction: str
    cautions: tuple[str, ...]
    rev: int
    shares_zone: bool = False
    role: Role = Role.NONE
    name_back: str = ""
    instruction: str = ""
    instruction_back: str = ""
    for_helper: bool = True


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the ledger as it stands.

    Args:
        begun: Whether anything happened to it.
        goes_back: Whether it is put back; what is left out or stays on the old engine is not.
        progress: How far it is on the way back.
        thing: What the order follows from; a finding stands in it until it is decided.
        times: When its marks arrived.
        found: The last of its reasons: those for which the judge of sequence opens it.
        seen: The line as the judge sees it.
    """

    item: Item
    state: ItemState
    reasons: tuple[Reason, ...]
    state_key: str
    rev: int = 1
    times: Times = NO_TIMES
    found: tuple[Reason, ...] = ()
    begun: bool = field(init=False, repr=False, compare=False)
    goes_back: bool = field(init=False, repr=False, compare=False)
    progress: Progress = field(init=False, repr=False, compare=False)
    thing: Thing = field(init=False, repr=False, compare=False)
    seen: Seen = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Work out once what pages ask of every line over and over."""
        begun = has_begun(self.state)
        back = _goes_back(self.item, self.state, begun=begun)
        stands = back or (begun and self.item.kind is Kind.FINDING)
        object.__setattr__(self, "begun", begun)
        object.__setattr__(self, "goes_back", back)
        progress = progress_of(self.item, self.state)
        if self.looks_again:
            progress = replace(progress, looked_at=False)
        object.__setattr__(self, "progress", progress)
        object.__setattr__(self, "thing", thing_of(self.item, off_seq=self.off_seq, goes_back=stands))
        object.__setattr__(self, "seen", Seen(self.item, self.state, self.times))

    def with_found(self, found: tuple[Reason, ...]) -> "Entry":
        """Return the same line with other reasons from the judge of sequence."""
        if found == self.found:
            return self
        own = self.reasons[: len(self.reasons) - len(self.found)]
        return replace(self, reasons=(*own, *found), found=found)

    @property
    def looks_again(self) -> bool:
        """Whether its second look is void though the work stands."""
        return any(reason.code == LOOKED_BEFORE for reason in self.found)

    @property
    def tightens_again(self) -> bool:
        """Whether it is tight and only tightening it once more closes its line."""
        return any(reason.code in DONE_AGAIN for reason in self.reasons)

    @property
    def rungs_ahead(self) -> tuple[Rung, ...]:
        """The acts that close its line, the next one first."""
        return rungs_ahead(
            self.item, self.state, looks_again=self.looks_again, tightens_again=self.tightens_again
        )

    @property
    def subject(self) -> str:
        """What the journal calls it."""
        return f"step:{self.item.id}" if self.item.kind is Kind.STEP else f"item:{self.item.id}"

    @property
    def is_open(self) -> bool:
        """Whether its line is open."""
        return bool(self.reasons)

    @property
    def is_placed(self) -> bool:
        """Whether it is at least in position, so that what comes over it can follow."""
        return self.progress.placed

    @property
    def off_seq(self) -> int:
        """When it came off; 0 for a step of the way back, which was never on."""
        return 0 if self.item.kind is Kind.STEP else self.state.off_seq


def _goes_back(item: Item, state: ItemState, *, begun: bool) -> bool:
    if item.kind is Kind.STEP:
        return True
    if item.kind is Kind.FINDING or not begun or is_unused(state):
        return False
    return state.destiny.value in GOES_BACK or state.destiny.disagree


@dataclass(frozen=True, slots=True)
class PlaceFacts:
    """A shelf place and where it stands."""

    id: str
    name: str
    parent: str
