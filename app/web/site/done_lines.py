"""What was done last, as rows show it: who did what with which item, and when."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.journal import Line
from app.core.wording.items import act_text, verb_text


@dataclass(frozen=True, slots=True)
class DoneLine:
    """One line of the journal.

    Args:
        entry: The item it is about; `None` where that is not here any more.
        who: Who did it.
        text: What was done.
        at: When, as it is stored.
    """

    entry: Entry | None
    who: str
    text: str
    at: str


def done_lines(lines: Iterable[Line], build: Snapshot, names: Mapping[str, str]) -> list[DoneLine]:
    """Return lines as rows; `names` has the people by id."""
    return [_row(line, build.entries.get(line.subject.partition(":")[2]), names) for line in lines]


def _row(line: Line, entry: Entry | None, names: Mapping[str, str]) -> DoneLine:
    act = line.record.act
    text = act_text(entry.item, act) if entry and act else verb_text(line.verb)
    return DoneLine(entry, names.get(line.person, "somebody"), text, line.at)
