"""The columns of a list, each declared once: reading, checking, filling, the page and the export follow."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from app.core.items.kinds import ITEM_KINDS, Kind
from app.core.lists.column import Column, Of, OnStep
from app.core.lists.forms import Choice, Ids, KindAndType, Path, Text, Torque, Verbatim, Whole
from app.core.lists.thread_cells import LengthOfThread, Threaded
from app.core.lists.torque_cells import ReadAs, WholePrint
from app.core.lists.vocabulary import DESTINIES, DIRECTIONS, HEIGHTS, NO_FIGURE, ONE_TIME, OWNERS, SIDES

REPLACES, GOES_AFTER = "replaces", "goes_back_after"
OPENINGS = frozenset({"seals", "closes"})
"""Ties whose second row goes back after the first."""
_FASTENER = (Kind.FASTENER,)


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns in the order of an export, and what follows from them.

    Args:
        all: The columns.
        named: By their names.
        headings: What a first line may call a column -> its name.
        places: The name of a column -> its place among all.
        of_step: What may be said of a step with any of its rows.
        ties: What ties items to each other.
        homeless: What some item has no field for and keeps in its note.
        bare: What may stand in a row that is a step's without saying so.
    """

    all: tuple[Column, ...]
    named: Mapping[str, Column] = field(init=False)
    headings: Mapping[str, str] = field(init=False)
    places: Mapping[str, int] = field(init=False)
    of_step: tuple[Column, ...] = field(init=False)
    ties: tuple[Column, ...] = field(init=False)
    homeless: tuple[Column, ...] = field(init=False)
    bare: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        """Work out what follows, once."""
        every = self.all
        found = {
            "named": {column.name: column for column in every},
            "headings": {said: column.name for column in every for said in (column.name, *column.also)},
            "places": {column.name: place for place, column in enumerate(every)},
            "of_step": tuple(c for c in every if c.of is Of.STEP and c.name != "step"),
            "ties": tuple(c for c in every if c.of is Of.TIE),
            "homeless": tuple(c for c in every if c.kinds != ITEM_KINDS or c.beside),
            "bare": frozenset(c.name for c in every if c.bare),
        }
        for name, value in found.items():
            object.__setattr__(self, name, value)

    @property
    def names(self) -> tuple[str, ...]:
        """The names in the order of an export."""
        return tuple(self.named)


TABLE = Columns(
    (
        Column(
            "id", "what other rows call this one", Of.ITEM, "key", Verbatim(),
            longest=60, on_step=OnStep.READ, bare=True,
        ),
        Column(
            "step", "the step's name; what is said of a step may stand with any of its rows", Of.STEP, "name",
            Text(), longest=80, on_step=OnStep.READ, bare=True,
        ),
        Column(
            "height", "where the vehicle stands", Of.STEP, "height", Choice(HEIGHTS),
            on_step=OnStep.READ, bare=True, unsaid="wheels",
        ),
        Column(
            "people", "how many a step takes", Of.STEP, "people", Whole(1, 9),
            on_step=OnStep.READ, bare=True, unsaid=1,
        ),
        Column(
            "minutes", "how long a step takes", Of.STEP, "minutes", Whole(0, 6000),
            on_step=OnStep.READ, bare=True, unsaid=30,
        ),
        Column(
            "direction", "on which way a step is done", Of.STEP, "direction", Choice(DIRECTIONS),
            on_step=OnStep.READ, bare=True, unsaid="both",
        ),
        Column(
            "zone", "as in the bay; a new one is made, above, or below with «(below)» behind its name",
            Of.ITEM, "zone", Text(), longest=60, on_step=OnStep.READ, bare=True,
        ),
        Column(
            "kind",
            "what it is, with its type behind a colon, such as «connection: coolant hose»; bolt, nut, stud, "
            "connector, hose and strap will do. A row with a step alone makes the step",
            Of.ITEM, "kind", KindAndType(), on_step=OnStep.READ,
        ),
        Column(
            "name", "what it is called", Of.ITEM, "name", Verbatim(), longest=120, on_step=OnStep.READ,
        ),
        Column("count", "how many pieces", Of.ITEM, "n", Whole(1, 999), also=("quantity", "qty")),
        Column(
            "thread", "M8x1.25 or 3/8-16", Of.DETAIL, "thread", Threaded("length_mm"),
            longest=60, kinds=_FASTENER,
        ),
        Column(
            "length_mm", "the length under the head, mm, beside its thread", Of.DETAIL, "thread",
            LengthOfThread(), kinds=_FASTENER, beside="thread",
        ),
        Column("grade", "such as 8.8", Of.DETAIL, "strength", Text(), longest=20, kinds=_FASTENER),
        Column(
            "torque", f"as printed, with its unit; «{NO_FIGURE}» where you looked and found none", Of.DETAIL,
            "torque", Torque(), kinds=_FASTENER,
        ),
        Column(
            "torque_source", "where the torque is printed", Of.DETAIL, "torque_source", Text(),
            longest=120, kinds=_FASTENER,
        ),
        Column(
            "torque_note", "under which conditions the torque holds, such as «cold»", Of.DETAIL,
            "torque_note", Text(), longest=120, kinds=_FASTENER, always=False,
            also=("torque_condition", "torque_conditions"),
        ),
        Column(
            "torque_print", "the whole print, where it gives several values and «torque» is one of them",
            Of.DETAIL, "torque_print", WholePrint("torque"), kinds=_FASTENER, always=False,
        ),
        Column(
            "torque_read_as", "what the torque is read as; where it is read otherwise here, you are asked",
            Of.DETAIL, "torque_read", ReadAs(), kinds=_FASTENER, always=False,
        ),
        Column(
            "threadlock", "what locks or seals the thread: threadlocker, sealant, lock plate, split pin",
            Of.DETAIL, "threadlock", Text(), longest=80, kinds=_FASTENER, always=False,
            also=("thread_lock", "threadlocker", "thread_locker", "threadlocking", "thread_locking"),
        ),
        Column(
            "holds", "ids of rows that go in before this one, parted by semicolons", Of.TIE, "holds", Ids(),
        ),
        Column("joins", "ids, as with holds", Of.TIE, "joins", Ids()),
        Column("covers", "ids, as with holds", Of.TIE, "covers", Ids()),
        Column(
            "one_time", "whether it is used once only", Of.DETAIL, "one_time",
            Choice(ONE_TIME, silent="unknown"), kinds=_FASTENER, noted_if="yes",
        ),
        Column(
            "disposition", "what becomes of it; what is replaced has a new one made in its place", Of.ITEM,
            "destiny", Choice(DESTINIES),
        ),
        Column(
            "place", "where it lies, such as «bag 4 → crate 1»; a new place is made", Of.ITEM, "place",
            Path(), longest=400, on_step=OnStep.PASSED_OVER,
        ),
        Column(
            "note", "anything else", Of.ITEM, "note", Verbatim(lines=True), longest=2000,
            on_step=OnStep.PASSED_OVER, bare=True, also=("notes",),
        ),
        Column(
            "owner", "whose it is: the vehicle's, an engine's; empty where nobody says", Of.ITEM, "owner",
            Choice(OWNERS), always=False,
        ),
        Column(
            "system", "the fluid's system that it closes, such as coolant", Of.ITEM, "system", Text(),
            longest=40, always=False,
        ),
        Column(
            "seals", "ids of what goes on this gasket or joint", Of.TIE, "seals", Ids(), always=False,
        ),
        Column(
            "closes", "ids of what joins the opening that this cap or rag closes", Of.TIE, "closes", Ids(),
            always=False,
        ),
        Column(
            GOES_AFTER, "ids of what goes back before it, where the manual says so", Of.TIE, GOES_AFTER,
            Ids(), always=False,
        ),
        Column(
            "goes_back_because", "why it goes back after those", Of.ITEM, "because", Text(), longest=200,
            always=False,
        ),
        Column(
            "side", "against the rule: on before the engine goes in, or stays off until it is in",
            Of.ITEM, "side", Choice(SIDES), always=False,
        ),
        Column(
            "side_because", "why it goes back on that side", Of.ITEM, "side_because", Text(), longest=200,
            always=False,
        ),
        Column(
            REPLACES, "the id of the row in whose place this one goes", Of.TIE, REPLACES, Ids(), always=False,
        ),
    )
)  # fmt: skip
"""Use it as `columns.TABLE`: it is looked up where it is used."""
