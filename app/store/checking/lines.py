"""The journal read once, subject by subject: lines out of reach, and what was last folded from the lines."""

from collections.abc import Iterator
from itertools import groupby

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.checking import (
    lines_out_of_reach,
    out_of_reach_problem,
    state_differences,
    undoing_nothing,
)
from app.core.consistency.times import Times, times_of
from app.core.items.journal import History, Line
from app.core.items.state import ItemState, Register, fold, register
from app.core.ledger.ledger import work_act
from app.core.problem import Problem
from app.store.checking.names import called
from app.store.db.models import ItemRow, ItemStateRow, JournalRow, Place
from app.store.journal import FOLD, as_line, item_behind, read_state, read_times

_READ_AT_ONCE = 500


def line_problems(session: Session) -> Iterator[Problem]:
    """Yield the lines from which nothing follows, and the states that are not what their lines say.

    One subject's lines are held at a time, whatever the length of the journal.
    """
    rows = session.scalars(
        select(JournalRow)
        .order_by(JournalRow.subject, JournalRow.seq)
        .execution_options(yield_per=_READ_AT_ONCE)
    )
    for subject, group in groupby(rows, key=lambda row: row.subject):
        lines = [as_line(row) for row in group]
        yield from _out_of_reach(session, subject, lines)
        if subject.startswith(("item:", "step:")):
            yield from _state_problems(session, subject, lines)
        elif subject.startswith("place:"):
            yield from _place_problems(session, subject, lines)
    yield from _states_of_nothing(session)
    yield from _items_of_no_line(session)


def _out_of_reach(session: Session, subject: str, lines: list[Line]) -> Iterator[Problem]:
    for found in lines_out_of_reach(lines):
        named = select(JournalRow.id).where(JournalRow.id.in_(found.missing))
        elsewhere = frozenset(session.scalars(named)) if found.missing else frozenset()
        yield out_of_reach_problem(found, called(session, subject), elsewhere=elsewhere)
    for line in undoing_nothing(lines):
        undone = line.body.get("line") or "none"
        yield Problem(
            "undo-of-nothing",
            f"Line {line.id} takes back line {undone}, which is no line about this.",
            called(session, subject),
        )


def _state_problems(session: Session, subject: str, lines: list[Line]) -> Iterator[Problem]:
    where, row = called(session, subject), session.get(ItemStateRow, subject)
    try:
        item = item_behind(session, subject)
        if item is None:
            if subject.startswith("item:"):
                yield Problem("item-missing", f"{_count(lines)} about it, but it is not there itself.", where)
            return  # a step that was deleted leaves its lines behind
        folded = fold(item.kind, item.positions, lines, work=work_act(item))
        times = times_of(item, lines)
    except (KeyError, TypeError, ValueError) as error:
        yield Problem("unreadable", f"It or its lines cannot be read: {error}.", where)
        return
    if row is None:
        yield Problem("state-missing", "Its state is not stored, so it shows as untouched.", where)
    elif row.state.get("fold") == FOLD:  # what another release folded is folded again when it opens
        yield from _differing(row, folded, times, where)


def _differing(row: ItemStateRow, folded: ItemState, times: Times, where: str) -> Iterator[Problem]:
    try:
        stale = ("when its marks came",) * (read_times(row.state) != times)
        found = (*state_differences(read_state(row.state), folded), *stale)
    except (KeyError, TypeError, ValueError):
        yield Problem("unreadable", "Its stored state cannot be read.", where)
        return
    if found:
        said = ", ".join(found)
        yield Problem("state-differs", f"Its stored state is not what its lines say: {said}.", where)


def _place_problems(session: Session, subject: str, lines: list[Line]) -> Iterator[Problem]:
    place = session.get(Place, subject.partition(":")[2])
    if place is None:
        yield Problem(
            "place-missing",
            f"{_count(lines)} about it, but it is not there itself.",
            called(session, subject),
        )
        return
    stands = register(History(lines), "place", Register()).value
    if (place.parent_id or "") != stands:
        there, here = (called(session, f"place:{x}") if x else "nowhere" for x in (place.parent_id, stands))
        yield Problem(
            "place-differs",
            f"It is stored as standing in {there}; its lines say {here}.",
            called(session, subject),
        )


def _states_of_nothing(session: Session) -> Iterator[Problem]:
    told = select(JournalRow.id).where(JournalRow.subject == ItemStateRow.subject).exists()
    for subject in session.scalars(select(ItemStateRow.subject).where(~told)):
        yield Problem("state-of-nothing", "A state is stored that no line told of.", called(session, subject))
    for row, item in session.execute(
        select(ItemStateRow, ItemRow)
        .join(ItemRow, ItemStateRow.subject == "item:" + ItemRow.id)
        .where(ItemStateRow.build_id != ItemRow.build_id)
    ):
        yield Problem(
            "state-of-another-build", "Its state is stored with another build.", called(session, row.subject)
        )
        session.expunge(item)


def _items_of_no_line(session: Session) -> Iterator[Problem]:
    told = select(JournalRow.id).where(JournalRow.subject == "item:" + ItemRow.id).exists()
    for item_id in session.scalars(select(ItemRow.id).where(~told)):
        yield Problem(
            "item-of-no-line", "No line says where it came from.", called(session, f"item:{item_id}")
        )


def _count(lines: list[Line]) -> str:
    return "One line is" if len(lines) == 1 else f"{len(lines)} lines are"
