"""What is known of an item besides what happened to it: the plan's side of a line in the ledger."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Any

from app.core.items.kinds import CRITICAL_KINDS, CRITICAL_TYPES, CRITICAL_WORDS, Kind

OWNERS = ("", "vehicle", "old engine", "new engine", "gearbox", "subframe", "part")
"""Whose something is; empty where nobody said."""
RELATIONS = ("holds", "joins", "covers", "seals", "closes", "pairs", "replaces", "moves_to", "found_on")
DESTINIES = ("refit", "transfer", "replaced", "left_out", "stays_on_old", "undecided")
BLOCKING = frozenset({"holds", "joins", "covers"})
"""Relations whose first member goes back after the second."""
FATES = ("pattern", "core_return", "sold", "scrapped")
_CRITICAL = re.compile(r"\b(?:" + "|".join(CRITICAL_WORDS) + r")s?\b")


@dataclass(frozen=True, slots=True)
class Edge:
    """`frm` holds, joins or covers `to`: taken off before it, put back after it."""

    frm: str
    rel: str
    to: str


@dataclass(frozen=True, slots=True)
class End:
    """One end of a connection: its half of the tag, where it sits and whose it is."""

    half: str
    label: str = ""
    owner: str = ""


@dataclass(frozen=True, slots=True)
class Connection:
    """Joined by hand. Joints are counted between the first end and each other end.

    `lock`: what holds it, such as a lock tab or a clamp. `both_halves`: it closes only when the code on the
    other half was read too. `look_alike`: a word that it shares with what looks like it.
    """

    type: str = ""
    lock: str = ""
    ends: tuple[End, ...] = (End("A"), End("B"))
    both_halves: bool = False
    look_alike: str = ""


@dataclass(frozen=True, slots=True)
class Fastener:
    """Alike bolts, nuts or studs.

    Args:
        torque: The text as printed; `no_figure` says that none was found.
        torque_print: The whole print, where it gives several values and `torque` is the one that was chosen.
        torque_read: What `torque` was read as when it was written; empty where that was not kept.
        torque_note: Under which conditions it holds, as typed: `cold`, `with the old gasket`.
        threadlock: What locks or seals the thread, as typed: threadlocker, sealant, lock plate, split pin.
        friction: What is on the thread, a value of `preload.Friction`; empty where not known.
        joint: What it goes into, a value of `bolt.Joint`; empty for steel or not known.
        lengths: Lengths by hole where they differ, such as `1-8: 25; 9 10: 45`, [mm].
        holes: Holes that need care, such as `blind: 1-4; wet: 9`.
        pattern: How the bolts lie, a value of `sequence.Pattern`; empty where nobody said.
        rows: Rows of a rectangle.
        own_order: The order that the manual prints, where it is not that of the pattern.
        places_mm: Where the holes are: see `app.core.tightening.patterns.read_places`, [mm].
        passes: Passes in which a single printed torque is reached, 1 to 4.
        retorque: When it is tightened again after the first start: `hot`, `next day`, `500 km`.
    """

    thread: str = ""
    strength: str = ""
    head: str = ""
    washers: str = ""
    threadlock: str = ""
    one_time: str = "unknown"
    torque: str = ""
    torque_source: str = ""
    no_figure: bool = False
    look_alike: str = ""
    friction: str = ""
    joint: str = ""
    lengths: str = ""
    holes: str = ""
    pattern: str = ""
    rows: int = 0
    own_order: str = ""
    places_mm: str = ""
    passes: int = 1
    retorque: str = ""
    torque_print: str = ""
    torque_read: str = ""
    torque_note: str = ""

    @property
    def printed(self) -> str:
        """What the manual prints, word for word and whole; empty where no torque is written."""
        return self.torque_print or self.torque


@dataclass(frozen=True, slots=True)
class Part:
    """A thing stored. `weight_kg` 0 where unknown, [kg]."""

    condition: str = ""
    weight_kg: float = 0.0


@dataclass(frozen=True, slots=True)
class Locator:
    """Dowel, shim, spacer, key, pilot bearing; clip or tie of a routing."""

    type: str = ""


@dataclass(frozen=True, slots=True)
class Temporary:
    """Put in and to come out again: cap, rag, clamp, strap, locking pin, prop, lifting eye."""

    type: str = ""


@dataclass(frozen=True, slots=True)
class Fluid:
    """Drained and filled; `bleeds`: filled is not enough.

    Args:
        capacity_l: What goes in after a plain change, [l]; 0 where unknown.
        dry_l: What goes in when all of it is empty, as in a new engine, [l]; 0 where unknown.
    """

    system: str = ""
    spec: str = ""
    capacity_l: float = 0.0
    dry_l: float = 0.0
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


TYPE_FIELD: Mapping[Kind, str] = MappingProxyType(
    {
        Kind.CONNECTION: "type",
        Kind.FASTENER: "head",
        Kind.LOCATOR: "type",
        Kind.TEMPORARY: "type",
        Kind.FLUID: "system",
        Kind.FINDING: "what",
    },
)
"""Which field says the type within a kind; a part has none."""
_EARLIER_FIELDS = {"seal": "threadlock"}
_EARLIER_VALUES = {("friction", "threadlock"): "wet threadlocker"}


def read_detail(kind: Kind, stored: Mapping[str, Any]) -> Detail:
    """Return the detail from its stored form; keys that this program does not know are passed over.

    What earlier versions called otherwise is read, too; where both names are there the present one holds.
    """
    known = {f.name for f in fields(DETAIL[kind])}
    renamed = {_EARLIER_FIELDS[key]: value for key, value in stored.items() if key in _EARLIER_FIELDS}
    values = {key: value for key, value in {**renamed, **stored}.items() if key in known}
    for (key, earlier), now in _EARLIER_VALUES.items():
        if values.get(key) == earlier:
            values[key] = now
    if "ends" in values:
        values["ends"] = tuple(End(**end) for end in values["ends"])
    return DETAIL[kind](**values)


CIRCUITS: Mapping[str, str] = MappingProxyType(
    {"coolant hose": "coolant", "fuel line": "fuel", "brake line": "brake", "refrigerant line": "refrigerant"}
)
"""What connections of these types hold back; others, such as oil lines, do not tell of which oil."""


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the ledger, its words and its place in the plan.

    Args:
        n: How many pieces; `None` where nobody has counted yet. For a connection, read `joints`.
        critical: Whether a second person looks at it.
        step, zone: Ids, empty where unknown.
        owner: Whose it is, one of `OWNERS`.
        was_critical: Whether it has ever been critical.
        critical_as: The kind that it was when it became critical first; empty where it never was.
        system: The fluid's system that it closes, such as `coolant`; empty for none, or not said.
        listed_as: The id of its row in the list that it came with; empty where it has none.
    """

    id: str
    number: int
    kind: Kind
    name: str = ""
    step: str = ""
    zone: str = ""
    n: int | None = None
    critical: bool = False
    owner: str = ""
    note: str = ""
    detail: Detail = field(default_factory=Connection)
    was_critical: bool = False
    system: str = ""
    listed_as: str = ""
    critical_as: str = ""

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
    def circuit(self) -> str:
        """The fluid's system that it closes: as somebody said, else what the type of a connection tells.

        A fluid closes none: it is what its system holds.
        """
        return self.system or (CIRCUITS.get(self.type, "") if self.kind is Kind.CONNECTION else "")

    @property
    def type(self) -> str:
        """The type within the kind, empty where it has none or it is unknown: see `TYPE_FIELD`."""
        return str(getattr(self.detail, TYPE_FIELD.get(self.kind, ""), ""))


def critical_by_default(kind: Kind, item_type: str, words: str = "") -> bool:
    """Tell whether something gets a second look unless the owner says otherwise.

    Args:
        kind: Its kind.
        item_type: Its type; a connection goes by this.
        words: Its name, step and zone as one text; other kinds go by these.
    """
    if kind is Kind.CONNECTION:
        return item_type in CRITICAL_TYPES
    return kind in CRITICAL_KINDS and bool(_CRITICAL.search(f"{words} {item_type}".casefold()))


def critical_after(before: Item, after: Item, *, words_before: str = "", words_after: str = "") -> bool:
    """Return whether an item is critical after new words: they can make it so once, the owner decides after.

    Words that newly speak of brakes, fuel or the like switch the second look on; where they did before,
    what the owner ticked holds.
    """
    newly = critical_by_default(after.kind, after.type, words_after) and not critical_by_default(
        before.kind, before.type, words_before
    )
    return after.critical or newly


def lacks_words(item: Item) -> tuple[str, ...]:
    """Name what is still to be described: the fields that a person needs to put the thing back."""
    lacks = [
        label for label, value in (("name", item.name), ("zone", item.zone), ("step", item.step)) if not value
    ]
    match item.detail:
        case Connection(type=""):
            lacks.append("type")
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
