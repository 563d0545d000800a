"""A list of steps and items, such as a spreadsheet gives: read to a plan, or to what is wrong with it.

Rows stand in the order of taking off. A row without a kind, or of kind `step`, makes a step; every other row
makes an item that is off. A step's height, people, minutes and direction may stand in its own row or in a
row of any of its items.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from graphlib import CycleError, TopologicalSorter
from typing import Any

from app.core.items.items import DETAIL, TYPE_FIELD, Detail, Edge
from app.core.items.kinds import Kind
from app.core.lists import columns
from app.core.lists.bytes import decode, line_label
from app.core.lists.cells import Cells
from app.core.lists.column import Column, Of, OnStep
from app.core.lists.columns import REPLACES
from app.core.lists.forms import Verbatim, as_dict, one_line
from app.core.lists.listed import ListedItem, ListPlan
from app.core.lists.notes import noted
from app.core.lists.steps import Steps, is_step, text_of
from app.core.lists.text import Table, read_table
from app.core.lists.vocabulary import NOTHING
from app.core.order.sorting import end_of
from app.core.problem import Problem


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
    return int(line), columns.TABLE.places.get(column, -1)


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
                zones.append(text_of(cells, "zone"))
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
        key = text_of(cells, "id")
        if key in self.keys:
            told = f"«{key}» is the id of line {self.keys[key][0]} already."
            cells.fail("id", "id-twice", told)
        elif key:
            self.keys[key] = (cells.row.line, kind or Kind.PART)

    def _leave_out(self, cells: Cells) -> None:
        """Refuse what only an item has; pass over what a step does not keep."""
        for column in _filled(cells):
            if column.on_step is OnStep.REFUSED:
                told = "A step has none: give the item a row of its own, with its kind."
                cells.fail(column.name, "step-has-none", told)
            elif column.on_step is OnStep.PASSED_OVER:
                self._remark(cells, column, f"A step keeps no {column.words}: this was passed over.")

    def _remark(self, cells: Cells, column: Column, told: str) -> None:
        self.remarks.append(Problem("passed-over", told, line_label(cells.row.line, column.name)))

    def _item(self, cells: Cells, kind: Kind, item_type: str, step: str) -> ListedItem:
        """Return an item with the fields that the cells of its row fill."""
        of_item: dict[str, Any] = {"key": _unnamed(cells), "name": ""}
        of_kind: dict[str, Any] = {}
        homeless: dict[str, str] = {}
        filled = {column.name: column for column in _filled(cells)}
        for column in filled.values():
            if column.of not in {Of.ITEM, Of.DETAIL} or column.name == "kind":
                continue
            read = column.form.read(cells, column)
            if not column.fits(kind, filled):
                homeless |= self._homeless(cells, column, kind, read)
            elif column.of is Of.ITEM:
                of_item |= read
            else:
                of_kind |= read
        note = "\n".join(filter(None, [of_item.pop("note", ""), self._kept_in_note(cells, kind, homeless)]))
        if kind is Kind.FINDING:
            item_type = item_type or of_item["name"]
        detail = self._detail(cells, kind, item_type, of_kind)
        return ListedItem(cells.row.line, kind=kind, detail=detail, step=step, note=note, **of_item)

    def _homeless(
        self, cells: Cells, column: Column, kind: Kind, read: Mapping[str, Any]
    ) -> Mapping[str, str]:
        """Return a cell that this kind has no field for, where it is worth a line of the note."""
        if column.noted_if and read.get(column.field) != column.noted_if:
            told = f"A {kind} has no field for this: «{cells.raw(column.name)[:40]}» was passed over."
            self._remark(cells, column, told)
            return {}
        return {column.name: one_line(cells.raw(column.name))}

    def _kept_in_note(self, cells: Cells, kind: Kind, homeless: Mapping[str, str]) -> str:
        """Return the lines of a note for what the item's kind has no field for, and say so."""
        kept = noted("", homeless)
        if kept:
            said = kept.replace("\n", ", ")
            told = f"A {kind} has no field for this, so its note says «{said}»."
            self.remarks.append(Problem("in-note", told, line_label(cells.row.line)))
        return kept

    def _detail(self, cells: Cells, kind: Kind, item_type: str, said: Mapping[str, Any]) -> Detail:
        """Return the fields of an item's kind; a type that the kind has no field for is named."""
        if kind in TYPE_FIELD:
            return DETAIL[kind](**as_dict(TYPE_FIELD[kind], item_type), **said)
        if item_type:
            told = f"A {kind} has no type: «{item_type[:40]}» was passed over."
            self._remark(cells, columns.TABLE.named["kind"], told)
        return DETAIL[kind](**said)

    def _edges(self) -> Iterator[Edge]:
        for cells in self.rows:
            frm = _key(cells)
            for column in columns.TABLE.ties:
                for to in column.form.read(cells, column).get(column.field, ()):
                    if self._may_name(cells, column.name, frm, to):
                        yield Edge(frm, column.field, to)

    def _may_name(self, cells: Cells, name: str, frm: str, to: str) -> bool:
        if to == frm:
            cells.fail(name, "names-itself", f"«{to}» names itself.")
        elif to not in self.keys:
            told = f"No row has the id «{to[:60]}». Several ids are parted by semicolons."
            cells.fail(name, "id-unknown", told)
        elif self.keys[to][1] is Kind.STEP:
            cells.fail(name, "names-step", f"«{to}» is a step: name the items of it that are meant.")
        else:
            return True
        return False

    def _refuse_circle(self, edges: tuple[Edge, ...]) -> None:
        """Name a cycle of rows that would wait for each other, at the first of them."""
        stands_for = {edge.to: edge.frm for edge in edges if edge.rel == REPLACES}
        ends = (
            [(e.frm, e.to) for e in edges if e.rel == REPLACES],
            [_in_turn(e, stands_for) for e in edges if e.rel != REPLACES],
        )
        cycle = next(filter(None, map(_cycle, ends)), ())
        if cycle:
            lines = {_key(cells): cells for cells in self.rows}
            first = min((lines[key] for key in cycle), key=lambda cells: cells.row.line)
            told = f"These would wait for each other in a circle: {' → '.join(cycle)}. Take one of them out."
            first.fail("", "cycle", told)


def _in_turn(edge: Edge, stands_for: Mapping[str, str]) -> tuple[str, str]:
    """Return two rows, the one that goes back later first."""
    frm, to = end_of(edge.frm, stands_for), end_of(edge.to, stands_for)
    return (to, frm) if edge.rel in columns.OPENINGS else (frm, to)


def _kind(cells: Cells) -> tuple[Kind, str] | None:
    if is_step(cells):
        return Kind.STEP, ""
    column = columns.TABLE.named["kind"]
    read = column.form.read(cells, column)
    return (read["kind"], read["type"]) if read else None


def _filled(cells: Cells) -> Iterator[Column]:
    """Give the columns in which a row says something."""
    for name, cell in cells.row.cells.items():
        column = columns.TABLE.named[name]
        if cell.casefold() not in NOTHING or isinstance(column.form, Verbatim):
            yield column


def _key(cells: Cells) -> str:
    return text_of(cells, "id") or _unnamed(cells)


def _unnamed(cells: Cells) -> str:
    """Return what no row can call a row without an id."""
    return f"\n{cells.row.line}"


def _refuse_beyond(cells: Cells) -> None:
    if cells.row.beyond:
        told = (
            f"«{cells.row.beyond[0][:40]}» stands after the last column: put a cell with a comma or a "
            "semicolon in it between quotation marks."
        )
        cells.fail("", "too-many-cells", told)


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
