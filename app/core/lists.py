"""A list of steps and items, such as a spreadsheet gives: read to a plan, or to what is wrong with it.

Rows stand in the order of taking off. A row without a kind, or of kind `step`, makes a step; every other row
makes an item that is off. A step's height, people, minutes and direction may stand in its own row or in a
row of any of its items.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from graphlib import CycleError, TopologicalSorter
from typing import Any

from app.core.items import Connection, Detail, Fastener, Finding, Fluid, Locator, Part, Temporary
from app.core.kinds import Kind
from app.core.list_cells import DESTINIES, DIRECTIONS, HEIGHTS, NO_FIGURE, ONE_TIME, Cells
from app.core.list_text import COLUMNS, REPLACES, Table, at, decode, read_table
from app.core.order import BLOCKING, Edge, end_of
from app.core.problem import Problem

RELATIONS = (*sorted(BLOCKING, reverse=True), REPLACES)
IN = "→"
"""Parts a place from what it stands in: `bag 4 → crate 1 → shelf A`."""

_ONLY_ITEMS = ("count", "thread", "length_mm", "grade", "torque", "torque_source", "one_time", "disposition")
_ONLY_FASTENERS = ("thread", "length_mm", "grade", "torque", "torque_source")
_NEW = ", new"
_LONGEST_NAME = 120
_LONGEST_PLACE = 60
_MOST_PIECES = 999
_MOST_PEOPLE = 9
_MOST_MINUTES = 6000


@dataclass(frozen=True, slots=True)
class ListedStep:
    """A step that a list names; what the list does not say of it is `None`.

    Args:
        line: Where it is named first.
        height, direction: As the plan knows them.
        people, minutes: 1 to 9, [-]; 0 to 6000, [min].
    """

    line: int
    name: str
    height: str | None = None
    people: int | None = None
    minutes: int | None = None
    direction: str | None = None


@dataclass(frozen=True, slots=True)
class ListedItem:
    """An item that a list names.

    Args:
        line: Where its row begins.
        key: What other rows call it: its id, or, where it has none, what no row can call it.
        step: The step's name; empty where none is named.
        zone: The zone's name or key; empty where none is named.
        place: From a bag outward.
        destiny: One of `app.core.items.DESTINIES`.
    """

    line: int
    key: str
    kind: Kind
    name: str
    detail: Detail
    step: str = ""
    zone: str = ""
    n: int | None = None
    place: tuple[str, ...] = ()
    destiny: str = "refit"
    note: str = ""


@dataclass(frozen=True, slots=True)
class ListPlan:
    """What a list says, all of it good.

    Args:
        items: In the order of taking off.
        steps: In the order of taking off.
        zones: Zones that rows of steps name; those of the items are with the items.
        edges: Between the items' keys.
        rows: How many rows it has, [-].
        remarks: What was read otherwise than it stands, or passed over.
    """

    items: tuple[ListedItem, ...]
    steps: tuple[ListedStep, ...]
    zones: tuple[str, ...]
    edges: tuple[Edge, ...]
    rows: int
    remarks: tuple[Problem, ...] = ()


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


def renewed(old: ListedItem) -> ListedItem:
    """Return the new thing that goes back in the place of one that a list calls `replaced`."""
    return replace(old, key=f"{old.key}\n", name=new_name(old.name), place=(), destiny="refit", note="")


def new_name(name: str) -> str:
    """Return what is written for the new one of something old, at most 120 signs."""
    return f"{name[: _LONGEST_NAME - len(_NEW)]}{_NEW}" if name else ""


@dataclass(slots=True)
class _Reading:
    """Reads all rows: steps first, because items may name a step by the id of a later row."""

    rows: list[Cells]
    steps: dict[str, ListedStep] = field(default_factory=dict)
    step_of: dict[str, str] = field(default_factory=dict)
    said_at: dict[tuple[str, str], int] = field(default_factory=dict)
    keys: dict[str, tuple[int, Kind]] = field(default_factory=dict)
    remarks: list[Problem] = field(default_factory=list)

    def plan(self) -> ListPlan:
        """Return the plan; it holds only where no row has a problem."""
        kinds = [_kind(cells) for cells in self.rows]
        for cells, kind in zip(self.rows, kinds, strict=True):
            self._enter(cells, kind[0] if kind else None)
            if kind and kind[0] is Kind.STEP:
                self._name_step(cells)
        items, zones = [], []
        for cells, kind in zip(self.rows, kinds, strict=True):
            _refuse_beyond(cells)
            step = self._say_step(cells)
            if kind and kind[0] is Kind.STEP:
                self._leave_out(cells)
                zones.append(cells.text("zone"))
            else:
                items.append(self._item(cells, *(kind or (Kind.PART, "")), step))
        edges = tuple(self._edges())
        self._refuse_circle(edges)
        return ListPlan(
            tuple(items),
            tuple(self.steps.values()),
            tuple(filter(None, zones)),
            edges,
            len(self.rows),
            tuple(self.remarks),
        )

    def _enter(self, cells: Cells, kind: Kind | None) -> None:
        """Remember what a row is called."""
        key = cells.text("id")
        if key in self.keys:
            told = f"«{key}» is the id of line {self.keys[key][0]} already."
            cells.fail("id", "id-twice", told)
        elif key:
            self.keys[key] = (cells.row.line, kind or Kind.PART)

    def _name_step(self, cells: Cells) -> None:
        """Let the items of a step call it by its id, by what stands under `step`, and by its name."""
        name, key = cells.text("name") or cells.text("step"), cells.text("id")
        if not name:
            cells.fail("step", "step-nameless", "Name the step.")
            return
        names = [name, *filter(None, (cells.text("step"), key))]
        taken = next((n for n in names if self.step_of.get(_plain(n), name) != name), "")
        if taken or (key and _plain(name) in self.step_of):
            told = f"There is a step «{taken or name}» already: give this one another name."
            cells.fail("step", "step-twice", told)
        for called in names:
            self.step_of.setdefault(_plain(called), name)

    def _say_step(self, cells: Cells) -> str:
        """Write down what a row says of its step, and return the step's name."""
        called = cells.text("name") if _is_step(cells) else ""
        called = called or cells.text("step")
        values = {
            "height": cells.choice("height", HEIGHTS) or None,
            "people": cells.whole("people", 1, _MOST_PEOPLE),
            "minutes": cells.whole("minutes", 0, _MOST_MINUTES),
            "direction": cells.choice("direction", DIRECTIONS) or None,
        }
        if not called:
            for column in (column for column, value in values.items() if value is not None):
                cells.fail(column, "step-missing", f"«{column}» is said of a step: name the step too.")
            return ""
        name = self.step_of.get(_plain(called), called)
        self.step_of.setdefault(_plain(called), name)
        step = self.steps.get(name, ListedStep(cells.row.line, name))
        self.steps[name] = replace(step, **self._agreed(cells, step, values))
        return name

    def _agreed(
        self, cells: Cells, step: ListedStep, values: Mapping[str, str | int | None]
    ) -> dict[str, Any]:
        """Return what a row adds to what is known of its step; what differs is named."""
        added: dict[str, Any] = {}
        for column, value in values.items():
            known = getattr(step, column)
            if value is not None and known is None:
                added[column] = value
                self.said_at[step.name, column] = cells.row.line
            elif value not in {None, known}:
                before = f"«{step.name}» has {known} in line {self.said_at[step.name, column]}, {value} here"
                cells.fail(column, "step-differs", f"The step {before}: make them alike, or two steps of it.")
        return added

    def _leave_out(self, cells: Cells) -> None:
        """Refuse what only an item has; pass over what a step does not keep."""
        for column in (*_ONLY_ITEMS, *RELATIONS):
            if cells.row.cells.get(column):
                told = "A step has none: give the item a row of its own, with its kind."
                cells.fail(column, "step-has-none", told)
        for column in ("place", "note"):
            if cells.row.cells.get(column):
                where = at(cells.row.line, column)
                told = f"A step keeps no {column}: this was passed over."
                self.remarks.append(Problem("passed-over", told, where))

    def _item(self, cells: Cells, kind: Kind, sort: str, step: str) -> ListedItem:
        destiny = cells.choice("disposition", DESTINIES) or "refit"
        detail = _detail(cells, kind, sort)
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
        if not isinstance(detail, Fastener) and cells.row.cells.get("one_time", "").lower() in {
            "yes",
            "y",
            "true",
        }:
            homeless.append("one_time")
        kept = [f"{c.replace('_', ' ')}: {cells.text(c)}" for c in homeless if cells.text(c)]
        if kept:
            told = f"A {kind} has no field for this, so its note says «{', '.join(kept)}»."
            self.remarks.append(Problem("in-note", told, at(cells.row.line)))
        return "\n".join(filter(None, [cells.text("note"), *kept]))

    def _edges(self) -> Iterator[Edge]:
        for cells in self.rows:
            frm = _key(cells)
            for rel in RELATIONS:
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
        """Name a circle of rows that would wait for each other, at the first of them."""
        stands_for = {edge.to: edge.frm for edge in edges if edge.rel == REPLACES}
        ends = (
            [(e.frm, e.to) for e in edges if e.rel == REPLACES],
            [(end_of(e.frm, stands_for), end_of(e.to, stands_for)) for e in edges if e.rel != REPLACES],
        )
        circle = next(filter(None, map(_circle, ends)), ())
        if circle:
            lines = {_key(cells): cells for cells in self.rows}
            first = min((lines[key] for key in circle), key=lambda cells: cells.row.line)
            told = f"These would wait for each other in a circle: {' → '.join(circle)}. Take one of them out."
            first.fail("", "circle", told)


def _kind(cells: Cells) -> tuple[Kind, str] | None:
    return (Kind.STEP, "") if _is_step(cells) else cells.kind()


def _is_step(cells: Cells) -> bool:
    """Tell whether a row is about a step and nothing else."""
    kind = cells.row.cells.get("kind", "").lower()
    told = {"id", "step", "height", "people", "minutes", "direction", "zone", "note"}
    return kind in {"step", "steps"} or (
        not kind and "step" in cells.row.cells and set(cells.row.cells) <= told
    )


def _key(cells: Cells) -> str:
    return cells.text("id") or f"\n{cells.row.line}"


def _plain(name: str) -> str:
    return name.casefold()


def _refuse_beyond(cells: Cells) -> None:
    if cells.row.beyond:
        told = (
            f"«{cells.row.beyond[0][:40]}» stands after the last column: put a cell with a comma or a "
            "semicolon in it between quotation marks."
        )
        cells.fail("", "too-many-cells", told)


def _detail(cells: Cells, kind: Kind, sort: str) -> Detail:
    """Return the fields of an item's kind; torque, thread and one-time are read for every kind."""
    torque, thread, one_time = cells.torque(), cells.thread(), cells.choice("one_time", ONE_TIME)
    if kind is Kind.CONNECTION:
        return Connection(sort=sort)
    if kind is Kind.FASTENER:
        return Fastener(
            thread=thread,
            strength=cells.text("grade"),
            head=sort,
            one_time=one_time or "unknown",
            torque="" if torque == NO_FIGURE else torque,
            torque_source=cells.text("torque_source"),
            no_figure=torque == NO_FIGURE,
        )
    of_kind: dict[Kind, Detail] = {
        Kind.LOCATOR: Locator(sort=sort),
        Kind.TEMPORARY: Temporary(sort=sort),
        Kind.FLUID: Fluid(system=sort),
        Kind.FINDING: Finding(what=sort or cells.text("name")),
    }
    return of_kind.get(kind, Part())


def _circle(pairs: list[tuple[str, str]]) -> tuple[str, ...]:
    """Return keys that wait for each other, first and last the same; empty if none."""
    waits: dict[str, list[str]] = {}
    for frm, to in pairs:
        waits.setdefault(frm, []).append(to)
    try:
        TopologicalSorter(waits).prepare()
    except CycleError as error:
        return tuple(reversed(error.args[1]))
    return ()
