"""A build with the lines that the judge of sequence opens again."""

from dataclasses import replace

from app.core.builds.snapshot import Snapshot
from app.core.consistency.findings import reopened

_SHARED = ("swap", "phases", "sides", "barriers", "scene", "judgement", "findings")
"""What does not follow from why a line is open."""


def judged(build: Snapshot) -> Snapshot:
    """Return the build with a reason beside those of the ledger for each line that a finding opens."""
    opened = reopened(build.findings)
    asked = [i for i, entry in build.entries.items() if entry.found or i in opened]
    again = {i: build.entries[i].with_found(opened.get(i, ())) for i in asked}
    if all(entry is build.entries[i] for i, entry in again.items()):
        return build
    found = replace(build, entries={**build.entries, **again})
    for name in _SHARED:
        if name in build.__dict__:
            found.__dict__[name] = build.__dict__[name]
    return found
