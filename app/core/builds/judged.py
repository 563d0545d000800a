"""A build with the lines that the judge of sequence opens again."""

from dataclasses import replace

from app.core.builds.snapshot import Snapshot
from app.core.consistency.findings import reopened

_SHARED = ("swap", "phases", "sides", "barriers", "scene", "judgement", "findings")
"""What does not follow from why a line is open."""


def judged(build: Snapshot) -> Snapshot:
    """Return the build with a reason beside those of the ledger for each line that a finding opens."""
    opened = reopened(build.findings)
    entries = {i: entry.with_found(opened.get(i, ())) for i, entry in build.entries.items()}
    if all(entries[i] is entry for i, entry in build.entries.items()):
        return build
    found = replace(build, entries=entries)
    for name in _SHARED:
        if name in build.__dict__:
            found.__dict__[name] = build.__dict__[name]
    return found
