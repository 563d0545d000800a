"""The torque values of a build: what each group's figure lacks, their order, and a pasted table of them."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType

from app.core.items.items import Fastener, Item
from app.core.items.numbers import read_numbers
from app.core.problem import Problem
from app.core.threads.preload import Friction
from app.core.tightening.parsed import MOST_KEPT, parsed
from app.core.torque.bolt import Joint
from app.core.torque.choices import choices_of
from app.core.torque.plausibility import Caution, column_cautions, review_torque
from app.core.torque.text import parse_torque

SORTS = ("zone", "name", "thread", "torque", "source")
MOST_ROWS = 5000
LONGEST_SOURCE = 120
"""As in the form of an item, [characters]."""
_CELLS = 3
NOTHING_CHOSEN: Mapping[int, str] = MappingProxyType({})
_LAST = (1, 0.0, 0.0, 0.0)


def remarks(group: Fastener) -> tuple[str, ...]:
    """Say what a group's torque lacks and what speaks against it, in words; empty where nothing does.

    A class that is not known, or not made in the size, is compared as if none were written.
    """
    if not group.torque:
        return ("No figure found" if group.no_figure else "No figure written yet",)
    problem = parsed(group).torque_problem
    unsourced = () if group.torque_source.strip() else ("No source: unverified",)
    if problem:
        return (*unsourced, f"Cannot be read. {problem.message}")
    return (*unsourced, *(caution.message for caution in cautions_of(group)))


@lru_cache(maxsize=MOST_KEPT)
def cautions_of(group: Fastener) -> tuple[Caution, ...]:
    """Return the cautions about a group's torque; without a thread those about its columns only."""
    spec, thread = parsed(group).torque, parsed(group).thread
    if spec is None:
        return ()
    if thread is None:
        return column_cautions(spec)
    friction = Friction(group.friction) if group.friction in set(Friction) else Friction.UNKNOWN
    joint = Joint(group.joint) if group.joint in set(Joint) else Joint.STEEL
    review = review_torque(spec, thread, group.strength, friction, joint, parsed(group).kind)
    if isinstance(review, Problem) and review.where == "class":
        review = review_torque(spec, thread, "", friction, joint)
    return column_cautions(spec) if isinstance(review, Problem) else review.cautions


def sort_key(item: Item, by: str, zones: Mapping[str, int]) -> tuple[object, ...]:
    """Return what puts a group in its place in the list; what is not written comes last.

    Args:
        item: A fastener group.
        by: One of `SORTS`; anything else sorts by zone.
        zones: The place of each zone, by id.
    """
    group = item.detail if isinstance(item.detail, Fastener) else Fastener()
    match by:
        case "name":
            return (not item.name, _natural(item.name), item.number)
        case "thread":
            return (*_thread_key(group), item.number)
        case "torque":
            return (*_torque_key(group), item.number)
        case "source":
            return (not group.torque_source, _natural(group.torque_source), item.number)
        case _:
            return (zones.get(item.zone, len(zones)), item.number)


def _natural(text: str) -> tuple[tuple[int, str], ...]:
    """Return what puts «page 9» before «page 10»; a run of digits longer than any number stays text."""
    parts = re.split(r"([0-9]{1,9})", text.casefold())
    return tuple((int(part), "") if at % 2 else (-1, part) for at, part in enumerate(parts))


def _thread_key(group: Fastener) -> tuple[int, float, float, float]:
    thread = parsed(group).thread
    if thread is None:
        return _LAST
    return 0, thread.diameter_mm, thread.working_pitch_mm or 0.0, thread.length_mm or 0.0


def _torque_key(group: Fastener) -> tuple[int, float, float, float]:
    final = parsed(group).final
    return (0, final.torque.target_nm, 0.0, 0.0) if final and final.torque else _LAST


@dataclass(frozen=True, slots=True)
class TableRow:
    """A line of a pasted table.

    Args:
        line: Its number in the paste, from 1.
        what: The item's number or name, as pasted.
        torque, source: As pasted.
        problems: What is wrong with it; a row with none can be written.
        item: The item it names; `None` until `find_items` found it.
        whole: The whole print, where `torque` is the one of its values that was chosen.
        values: The values to choose from, where the print gives several for different cases.
    """

    line: int
    what: str
    torque: str = ""
    source: str = ""
    problems: tuple[Problem, ...] = ()
    item: Item | None = None
    whole: str = ""
    values: tuple[str, ...] = ()


def read_table(text: str, chosen: Mapping[int, str] = NOTHING_CHOSEN) -> tuple[TableRow, ...]:
    """Read rows of “item number or name; torque; source”.

    Cells are parted by tabs or, in a line without any, by semicolons.
    Empty lines are passed over, so is a heading whose second cell is “torque”.

    Args:
        text: The paste.
        chosen: Line -> which of the values of its print applies.

    Returns:
        The rows; each carries a `Problem` for its line where its cells or its torque cannot be read.
    """
    lines = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip(" \t;")]
    if lines and _is_heading(lines[0][1]):
        del lines[0]
    return tuple(_row(number, line, chosen.get(number, "")) for number, line in lines)


def _is_heading(line: str) -> bool:
    return [cell.casefold() for cell in _cells(line)[1:2]] == ["torque"]


def _cells(line: str) -> list[str]:
    return [_unquoted(cell.strip()) for cell in line.split("\t" if "\t" in line else ";")]


def _unquoted(cell: str) -> str:
    """Take off the quotes that a spreadsheet puts round a cell with quotes or separators in it."""
    quoted = len(cell) > 1 and cell[0] == cell[-1] == '"'
    return cell[1:-1].replace('""', '"').strip() if quoted else cell


def _row(number: int, line: str, chosen: str) -> TableRow:
    cells = _cells(line)
    while len(cells) > _CELLS and not cells[-1]:  # empty columns to the right
        cells.pop()
    if len(cells) > _CELLS:
        asked = "has more than three cells. Part item, torque and source by tabs; join stages by “then”"
        return TableRow(number, cells[0], problems=(_problem("cells", number, f"{asked}."),))
    what, torque, source = (*cells, "", "")[:_CELLS]
    found = (
        [] if what else [_problem("item-missing", number, "names no item. Write its number or name first.")]
    )
    values = tuple(choice.text for choice in choices_of(torque))
    whole, torque = (torque, chosen) if chosen in values else ("", torque)
    read = parse_torque(torque)
    if isinstance(read, Problem):
        found.append(_problem(read.code, number, f"the torque of “{what[:40]}”. {read.message}"))
    if len(source) > LONGEST_SOURCE:
        found.append(_problem("source-long", number, f"keep the source to {LONGEST_SOURCE} characters."))
    return TableRow(number, what, torque, source, tuple(found), whole=whole, values=values)


def _problem(code: str, line: int, message: str) -> Problem:
    return Problem(code, f"Line {line}: {message}", "table")


def find_items(rows: Iterable[TableRow], items: Iterable[Item]) -> tuple[TableRow, ...]:
    """Give each row the item that it names, or the `Problem` why there is none.

    A running number, with or without `#`, goes before a name; a name counts as it is written, case apart.
    """
    by_number: dict[int, list[Item]] = {}
    by_name: dict[str, list[Item]] = {}
    for item in items:
        by_number[item.number] = [item]
        by_name.setdefault(item.name.strip().casefold(), []).append(item)
    seen: dict[str, int] = {}
    return tuple(
        _found(row, _numbered(row.what, by_number) or by_name.get(row.what.casefold()), seen)
        if row.what
        else row
        for row in rows
    )


def _numbered(what: str, by_number: Mapping[int, list[Item]]) -> list[Item] | None:
    """Return what a row calls by its number alone."""
    read = read_numbers(what)
    if isinstance(read, Problem) or len(read) != 1 or read[0].words:
        return None
    return by_number.get(read[0].number)


def _found(row: TableRow, items: list[Item] | None, seen: dict[str, int]) -> TableRow:
    problem = _why_not(row, items or [], seen)
    if problem or not items:
        return replace(row, problems=(*row.problems, *((problem,) if problem else ())))
    seen[items[0].id] = row.line
    return replace(row, item=items[0])


def _why_not(row: TableRow, items: list[Item], seen: Mapping[str, int]) -> Problem | None:
    called = f"“{row.what[:40]}”"
    if not items:
        said = f"there is no item {called}. Write its running number, such as #12, or its exact name."
        return _problem("item-unknown", row.line, said)
    if len(items) > 1:
        numbers = ", ".join(f"#{item.number}" for item in items[:6])
        said = f"{len(items)} items are named {called}: {numbers}. Write the number of the one you mean."
        return _problem("item-twofold", row.line, said)
    if not isinstance(items[0].detail, Fastener):
        said = f"{called} is no fastener group: it has no torque. Take the line out, or name the bolts."
        return _problem("item-no-group", row.line, said)
    if items[0].id in seen:
        said = f"{called} stands in line {seen[items[0].id]} already. Keep one of the two."
        return _problem("item-twice", row.line, said)
    return None


def with_row(item: Item, group: Fastener, row: TableRow) -> Item:
    """Return a group with a row's figure; a source left empty stays only beside the figure it was for."""
    kept = group.torque_source if row.torque == group.torque else ""
    detail = replace(
        group,
        torque=row.torque,
        torque_print=row.whole,
        torque_source=row.source or kept,
        no_figure=False,
    )
    return replace(item, detail=detail)
