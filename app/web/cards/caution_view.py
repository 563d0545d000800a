"""The cautions of a step on its cards: shown when the step begins, after that named in a line."""

from collections.abc import Sequence
from typing import Any

from app.core.builds.snapshot import Entry, Snapshot
from app.web.site.wording import cautions


def step_cautions(build: Snapshot, entry: Entry, *, apart: bool) -> dict[str, Any]:
    """Return the cautions of a thing's step, and whether the step only begins.

    Args:
        build: As it stands.
        entry: The thing, or the step itself.
        apart: Whether it comes apart now.
    """
    step = build.step.get(entry.item.step)
    if step is None:
        return {"step_cautions": [], "step_begins": False}
    own = [each for each in build.entries.values() if each.item.step == entry.item.step]
    return {"step_cautions": cautions(step.cautions), "step_begins": not _has_begun(own, apart=apart)}


def _has_begun(own: Sequence[Entry], *, apart: bool) -> bool:
    """Tell whether anything of a step was done this way: came off, or is in again."""
    return any(each.begun if apart else each.begun and each.is_placed for each in own)
