"""Whether what is stored hangs together: lines out of reach, states that differ, pictures, places."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields

from app.core.items.journal import History, Line
from app.core.items.state import ItemState
from app.core.problem import Problem

_WHAT_A_STATE_SAYS = {
    "destiny": "what is to become of it",
    "fate": "what became of it",
    "place": "where it lies",
    "lengths": "the lengths of its bolts",
    "acknowledged": "the cautions that were looked into",
    "confirmed": "the readings that were compared with the print",
    "tips": "the lines that a next one builds on",
    "pending": "the lines that wait for another",
    "off_seq": "when it came off",
    "round": "how often it came off",
    "last_seq": "its newest line",
    "amounts": "what was drained and filled",
}


@dataclass(frozen=True, slots=True)
class OutOfReach:
    """A line that is kept but from which nothing follows.

    Args:
        line: The line itself.
        missing: Ids that it names and that are not among the lines of its subject, sorted; empty where it
            hangs on another line that is out of reach, or on itself.
    """

    line: Line
    missing: tuple[str, ...]


def lines_out_of_reach(lines: Iterable[Line]) -> tuple[OutOfReach, ...]:
    """Return the lines of one subject that wait for a line that is not there, sorted by id.

    Args:
        lines: All lines of one subject.
    """
    all_lines = tuple(lines)
    known = {line.id for line in all_lines}
    return tuple(OutOfReach(line, tuple(sorted(line.after - known))) for line in History(all_lines).pending)


def undoing_nothing(lines: Iterable[Line]) -> tuple[Line, ...]:
    """Return the lines of one subject that take back a line which is not there."""
    all_lines = tuple(lines)
    known = {line.id for line in all_lines}
    return tuple(line for line in all_lines if line.verb == "undo" and line.body.get("line") not in known)


def out_of_reach_problem(found: OutOfReach, where: str, *, elsewhere: Collection[str] = ()) -> Problem:
    """Return what to say of a line out of reach.

    Args:
        found: The line.
        where: What it is about, as people call it.
        elsewhere: Those of the missing ids that are lines about something else.
    """
    line = f"Line {found.line.id} ({found.line.verb}) counts for nothing"
    lost = [line_id for line_id in found.missing if line_id not in elsewhere]
    if lost:
        return Problem("out-of-reach", f"{line}: it builds on {_lines(lost)} not there.", where)
    if found.missing:
        return Problem(
            "out-of-reach", f"{line}: it builds on {_lines(found.missing)} about something else.", where
        )
    return Problem("out-of-reach", f"{line}: it builds on another line that counts for nothing.", where)


def _lines(ids: Sequence[str]) -> str:
    return f"line {ids[0]}, which is" if len(ids) == 1 else f"lines {' and '.join(ids)}, which are"


def state_differences(stored: ItemState, folded: ItemState) -> tuple[str, ...]:
    """Name in plain words what a stored state says otherwise than its lines; empty where it is the same."""
    found = [
        words
        for each in fields(ItemState)
        if (words := _WHAT_A_STATE_SAYS.get(each.name))
        and getattr(stored, each.name) != getattr(folded, each.name)
    ]
    if len(stored.positions) != len(folded.positions):
        return (f"the number of its positions ({len(stored.positions)} for {len(folded.positions)})", *found)
    other = [
        f"position {true.n}"
        for kept, true in zip(stored.positions, folded.positions, strict=True)
        if kept != true
    ]
    return (*other, *found)


def picture_problems(
    named: Mapping[str, str], found: Mapping[str, str], *, rowless: Collection[str] = ()
) -> tuple[Problem, ...]:
    """Hold pictures' rows against their files.

    Args:
        named: By the SHA-256 that a row names, where the picture belongs, as people call it.
        found: By a file's name without its ending, the SHA-256 of its bytes; empty where it cannot be read.
        rowless: The files' names that no row names and that are no longer being written.
    """
    missing = [
        Problem("photo-missing", f"The picture file {sha}.jpg is not there.", where)
        for sha, where in sorted(named.items())
        if sha not in found
    ]
    unread = [
        Problem("photo-unreadable", "The disk does not give it back: its bytes cannot be read.", f"{sha}.jpg")
        for sha, digest in sorted(found.items())
        if not digest
    ]
    changed = [
        Problem(
            "photo-changed",
            f"The bytes of the picture file {sha}.jpg are not those that were kept.",
            named.get(sha, "the pictures"),
        )
        for sha, digest in sorted(found.items())
        if digest and digest != sha
    ]
    left = [
        Problem(
            "photo-without-row",
            f"No photo shows the picture file {sha}.jpg; an entry that was refused may have left it.",
            "the pictures",
        )
        for sha in sorted(rowless)
    ]
    return (*missing, *unread, *changed, *left)


def inside_themselves(parents: Mapping[str, str]) -> tuple[str, ...]:
    """Return the places that stand inside themselves, directly or through others, sorted.

    Args:
        parents: For each place the place it stands in, empty where it stands nowhere.
    """
    circular: set[str] = set()
    settled: set[str] = set()
    for place in parents:
        way: list[str] = []
        at = place
        while at and at not in settled and at not in way:
            way.append(at)
            at = parents.get(at, "")
        if at in way:
            circular |= set(way[way.index(at) :])
        settled |= set(way)
    return tuple(sorted(circular))
