"""A list of steps and items, such as a spreadsheet gives: read to a plan, or to what is wrong with it.

Rows stand in the order of taking off. A row without a kind, or of kind `step`, makes a step; every other row
makes an item that is off. A step's height, people, minutes and direction may stand in its own row or in a
row of any of its items.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from graphlib import CycleError, TopologicalSorter

from app.core.items.items import Connection, Detail, Edge, Fastener, Finding, Fluid, Locator, Part, Temporary
from app.core.items.kinds import Kind
from app.core.lists.bytes import decode, line_label
from app.core.lists.cells import Cells
from app.core.lists.listed import IN, LIST_RELATIONS, ListedItem, ListPlan
from app.core.lists.notes import noted
from app.core.lists.steps import Steps, is_step
from app.core.lists.text import COLUMNS, REPLACES, Table, read_table
from app.core.lists.vocabulary import DESTINIES, NO_FIGURE, ONE_TIME
from app.core.order.sorting import end_of
from app.core.problem import Problem

_ONLY_ITEMS = ("count", "thread", "length_mm", "grade", "torque", "torque_source", "one_time", "disposition")
_ONLY_FASTENERS = ("thread", "length_mm", "grade", "torque", "torque_source")
_LONGEST_PLACE = 60
_MOST_PIECES = 999


def read_list(data: bytes) -> ListPlan | tuple[Problem, ...]:
    """Read the bytes of a file; every bad row is named, and one is enough for no plan."""
    text = decode(data)
    return (text,) if isinstance(text, Problem) else read_list_text(text)


def read_list_text(text: str) -> ListPlan | tuple[Problem, ...]:
    """Read a list from its text; see `read_list`."""
    table = read_table(text)
    if not isinstance(table, Table):
        return table
    reading = _Reading([Cells(row) for row in table.rows])
    plan = reading.plan()
    named = dict.fromkeys(problem for cells in reading.rows for problem in cells.problems)
    problems = sorted(named, key=lambda problem: _place(problem.where))
    unread = [
        Problem("column-unread", f"The column «{name}» is not known here and was passed over.", name)
        for name in table.unread
    ]
    return tuple(problems) or replace(plan, remarks=(*unread, *plan.remarks))


def _place(where: str) -> tuple[int, int]:
    """Return the line and the column's place among the columns."""
    line, _, column = where.removeprefix("line ").partition(", ")
    return int(line), COLUMNS.index(column) if column in COLUMNS else -1


@dataclass(slots=True)
class _Reading:
    """Reads all rows: steps first, because items may name a step by the id of a later row."""

    rows: list[Cells]
    steps: Steps = field(default_factory=Steps)
    keys: dict[str, tuple[int, Kind]] = field(default_factory=dict)
    remarks: list[Problem] = field(default_factory=list)

    def plan(self) -> ListPlan:
        """Return the plan; it holds only where no row has a problem."""
        kinds = [_kind(cells) for cells in self.rows]
        for cells, kind in zip(self.rows, kinds, strict=True):
            self._enter(cells, kind[0] if kind else None)
            if kind and kind[0] is Kind.STEP:
                self.steps.name(cells)
        items, zones = [], []
        for cells, kind in zip(self.rows, kinds, strict=True):
            _refuse_beyond(cells)
            step = self.steps.say(cells)
            if kind and kind[0] is Kind.STEP:
                self._leave_out(cells)
                zones.append(cells.text("zone"))
            else:
                items.append(self._item(cells, *(kind or (Kind.PART, "")), step))
        edges = tuple(self._edges())
        self._refuse_circle(edges)
        return ListPlan(
            tuple(items),
            tuple(self.steps.listed.values()),
            tuple(filter(None, zones)),
            edges,
            len(self.rows),
            (*self.steps.remarks, *self.remarks),
        )

    def _enter(self, cells: Cells, kind: Kind | None) -> None:
        """Remember what a row is called."""
        key = cells.text("id")
        if key in self.keys:
            told = f"«{key}» is the id of line {self.keys[key][0]} already."
            cells.fail("id", "id-twice", told)
        elif key:
            self.keys[key] = (cells.row.line, kind or Kind.PART)

    def _leave_out(self, cells: Cells) -> None:
        """Refuse what only an item has; pass over what a step does not keep."""
        for column in (*_ONLY_ITEMS, *LIST_RELATIONS):
            if cells.row.cells.get(column):
                told = "A step has none: give the item a row of its own, with its kind."
                cells.fail(column, "step-has-none", told)
        for column in ("place", "note"):
            if cells.row.cells.get(column):
                where = line_label(cells.row.line, column)
                told = f"A step keeps no {column}: this was passed over."
                self.remarks.append(Problem("passed-over", told, where))

    def _item(self, cells: Cells, kind: Kind, item_type: str, step: str) -> ListedItem:
        destiny = cells.choice("disposition", DESTINIES) or "refit"
        detail = _detail(cells, kind, item_type)
        place = tuple(filter(None, (part.strip() for part in cells.text("place").split(IN))))
        if any(len(name) > _LONGEST_PLACE for name in place):
            told = f"A place's name has at most {_LONGEST_PLACE} signs: shorten it."
            cells.fail("place", "too-long", told)
        return ListedItem(
            line=cells.row.line,
            key=_key(cells),
            kind=kind,
            name=cells.text("name"),
            detail=detail,
            step=step,
            zone=cells.text("zone"),
            n=cells.whole("count", 1, _MOST_PIECES),
            place=place,
            destiny=destiny,
            note=self._note(cells, kind, detail),
        )

    def _note(self, cells: Cells, kind: Kind, detail: Detail) -> str:
        """Return the note, with what the item's kind has no field for."""
        homeless = [column for column in _ONLY_FASTENERS if kind is not Kind.FASTENER]
        if isinstance(detail, Fastener) and not detail.thread:
            homeless.append("length_mm")
        if kind is not Kind.FASTENER and ONE_TIME.get(cells.text("one_time").casefold()) == "yes":
            homeless.append("one_time")
        kept = noted("", {column: cells.text(column) for column in homeless})
        if kept:
            said = kept.replace("\n", ", ")
            told = f"A {kind} has no field for this, so its note says «{said}»."
            self.remarks.append(Problem("in-note", told, line_label(cells.row.line)))
        return "\n".join(filter(None, [cells.text("note"), kept]))

    def _edges(self) -> Iterator[Edge]:
        for cells in self.rows:
            frm = _key(cells)
            for rel in LIST_RELATIONS:
                for to in cells.names(rel):
                    if self._may_name(cells, rel, frm, to):
                        yield Edge(frm, rel, to)

    def _may_name(self, cells: Cells, rel: str, frm: str, to: str) -> bool:
        if to == frm:
            cells.fail(rel, "names-itself", f"«{to}» names itself.")
        elif to not in self.keys:
            cells.fail(
                rel, "id-unknown", f"No row has the id «{to[:60]}». Several ids are parted by semicolons."
            )
        elif self.keys[to][1] is Kind.STEP:
            cells.fail(rel, "names-step", f"«{to}» is a step: name the items of it that are meant.")
        else:
            return True
        return False

    def _refuse_circle(self, edges: tuple[Edge, ...]) -> None:
        """Name a cycle of rows that would wait for each other, at the first of them."""
        stands_for = {edge.to: edge.frm for edge in edges if edge.rel == REPLACES}
        ends = (
            [(e.frm, e.to) for e in edges if e.rel == REPLACES],
            [(end_of(e.frm, stands_for), end_of(e.to, stands_for)) for e in edges if e.rel != REPLACES],
        )
        cycle = next(filter(None, map(_cycle, ends)), ())
        if cycle:
            lines = {_key(cells): cells for cells in self.rows}
            first = min((lines[key] for key in cycle), key=lambda cells: cells.row.line)
            told = f"These would wait for each other in a circle: {' → '.join(cycle)}. Take one of them out."
            first.fail("", "cycle", told)


def _kind(cells: Cells) -> tuple[Kind, str] | None:
    return (Kind.STEP, "") if is_step(cells) else cells.kind()


def _key(cells: Cells) -> str:
    return cells.text("id") or f"\n{cells.row.line}"


def _refuse_beyond(cells: Cells) -> None:
    if cells.row.beyond:
        told = (
            f"«{cells.row.beyond[0][:40]}» stands after the last column: put a cell with a comma or a "
            "semicolon in it between quotation marks."
        )
        cells.fail("", "too-many-cells", told)


def _detail(cells: Cells, kind: Kind, item_type: str) -> Detail:
    """Return the fields of an item's kind; torque, thread and one-time are read for every kind."""
    torque, thread, one_time = cells.torque(), cells.thread(), cells.choice("one_time", ONE_TIME)
    if kind is Kind.CONNECTION:
        return Connection(type=item_type)
    if kind is Kind.FASTENER:
        return Fastener(
            thread=thread,
            strength=cells.text("grade"),
            head=item_type,
            one_time=one_time or "unknown",
            torque="" if torque == NO_FIGURE else torque,
            torque_source=cells.text("torque_source"),
            no_figure=torque == NO_FIGURE,
        )
    of_kind: dict[Kind, Detail] = {
        Kind.LOCATOR: Locator(type=item_type),
        Kind.TEMPORARY: Temporary(type=item_type),
        Kind.FLUID: Fluid(system=item_type),
        Kind.FINDING: Finding(what=item_type or cells.text("name")),
    }
    return of_kind.get(kind, Part())


def _cycle(pairs: list[tuple[str, str]]) -> tuple[str, ...]:
    """Return keys that wait for each other, first and last the same; empty if none."""
    waits: dict[str, list[str]] = {}
    for frm, to in pairs:
        waits.setdefault(frm, []).append(to)
    try:
        TopologicalSorter(waits).prepare()
    except CycleError as error:
        return tuple(reversed(error.args[1]))
    return ()
