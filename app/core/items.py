"""What is known of an item besides what happened to it: the plan's side of a line in the ledger."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Any

from app.core.kinds import CRITICAL_SORTS, Kind

OWNERS = ("vehicle", "old engine", "new engine", "part")
RELATIONS = ("holds", "joins", "covers", "pairs", "replaces", "moves_to", "found_on")
DESTINIES = ("refit", "transfer", "replaced", "left_out", "stays_on_old", "undecided")
FATES = ("pattern", "core_return", "sold", "scrapped")


@dataclass(frozen=True, slots=True)
class End:
    """One end of a connection: its half of the tag, where it sits and whose it is."""

    half: str
    label: str = ""
    owner: str = "vehicle"


@dataclass(frozen=True, slots=True)
class Connection:
    """Joined by hand. Joints are counted between the first end and each other end."""

    sort: str = ""
    lock: str = ""
    ends: tuple[End, ...] = (End("A"), End("B"))


@dataclass(frozen=True, slots=True)
class Fastener:
    """Alike bolts, nuts or studs. `torque` is the text as printed; `no_figure` says none was found."""

    thread: str = ""
    strength: str = ""
    head: str = ""
    washers: str = ""
    seal: str = ""
    one_time: str = "unknown"
    torque: str = ""
    torque_source: str = ""
    no_figure: bool = False
    look_alike: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """A thing stored. `weight_kg` 0 where unknown, [kg]."""

    condition: str = ""
    weight_kg: float = 0.0


@dataclass(frozen=True, slots=True)
class Locator:
    """Dowel, shim, spacer, key, pilot bearing; clip or tie of a routing."""

    sort: str = ""


@dataclass(frozen=True, slots=True)
class Temporary:
    """Put in and to come out again: cap, rag, clamp, strap, locking pin, prop, lifting eye."""

    sort: str = ""


@dataclass(frozen=True, slots=True)
class Fluid:
    """Drained and filled; `capacity_l` [l], 0 where unknown. `bleeds`: filled is not enough."""

    system: str = ""
    spec: str = ""
    capacity_l: float = 0.0
    bleeds: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """Something found wrong; `blocks` says that the item it was found on waits for the decision."""

    what: str = ""
    blocks: bool = False
    decision: str = ""


Detail = Connection | Fastener | Part | Locator | Temporary | Fluid | Finding

DETAIL: Mapping[Kind, type[Detail]] = MappingProxyType(
    {
        Kind.CONNECTION: Connection,
        Kind.FASTENER: Fastener,
        Kind.PART: Part,
        Kind.LOCATOR: Locator,
        Kind.TEMPORARY: Temporary,
        Kind.FLUID: Fluid,
        Kind.FINDING: Finding,
    },
)


def read_detail(kind: Kind, stored: Mapping[str, Any]) -> Detail:
    """Return the detail from its stored form; keys that this program does not know are passed over."""
    known = {f.name for f in fields(DETAIL[kind])}
    values = {key: value for key, value in stored.items() if key in known}
    if "ends" in values:
        values["ends"] = tuple(End(**end) for end in values["ends"])
    return DETAIL[kind](**values)


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the ledger, its words and its place in the plan.

    Args:
        n: How many pieces; `None` where nobody has counted yet. For a connection, read `joints`.
        critical: Whether a second person looks at it.
        step, zone: Ids, empty where unknown.
        owner: Whose it is, one of `OWNERS`.
    """

    id: str
    number: int
    kind: Kind
    name: str = ""
    step: str = ""
    zone: str = ""
    n: int | None = None
    critical: bool = False
    owner: str = "vehicle"
    note: str = ""
    detail: Detail = field(default_factory=Connection)

    @property
    def positions(self) -> int:
        """How many positions the item has at least, as far as known."""
        if isinstance(self.detail, Connection):
            return max(1, len(self.detail.ends) - 1)
        return self.n or 1

    @property
    def bleeds(self) -> bool:
        """Whether a fluid's system is to be bled; true for other kinds, where it means nothing."""
        return self.detail.bleeds if isinstance(self.detail, Fluid) else True

    @property
    def sort(self) -> str:
        """The sort within the kind, empty where it has none or it is unknown."""
        return str(getattr(self.detail, "sort", "") or getattr(self.detail, "system", ""))


def critical_by_default(kind: Kind, sort: str) -> bool:
    """Tell whether something of this kind and sort gets a second look unless the owner says otherwise."""
    return kind is Kind.CONNECTION and sort in CRITICAL_SORTS


def lacks_words(item: Item) -> tuple[str, ...]:
    """Name what is still to be described: the fields that a person needs to put the thing back."""
    lacks = [
        label for label, value in (("name", item.name), ("zone", item.zone), ("step", item.step)) if not value
    ]
    match item.detail:
        case Connection(sort=""):
            lacks.append("sort")
        case Fastener() as group:
            if item.n is None:
                lacks.append("count")
            if not group.thread:
                lacks.append("thread")
            if not group.torque and not group.no_figure:
                lacks.append("torque")
        case Fluid(system=""):
            lacks.append("system")
        case _:
            pass
    return tuple(lacks)
