"""The minutes that a build's journal tells: how long steps took at taking off and at putting back."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Snapshot
from app.core.builds.work import MINUTES_EACH, Work
from app.core.items.kinds import Act, Kind, rung
from app.core.plan.minutes import StepMinutes, time_at_work
from app.store.db.models import JournalRow

_ACTS = {act.value: act for act in Act}


def recorded_minutes(session: Session, build: Snapshot) -> dict[str, tuple[int, int]]:
    """Return for each step the minutes of taking off and of putting back that its marks tell, or 0.

    Reckoned from the times at which a step's lines were marked, by the clock of the phone: from mark to
    mark, without gaps above 20 minutes (`time_at_work`). A step with fewer than three marks tells nothing.
    """
    act = func.json_extract(JournalRow.body, "$.act")
    rows = session.execute(
        select(JournalRow.subject, act, JournalRow.phone_at, JournalRow.server_at).where(
            JournalRow.build_id == build.id, JournalRow.verb.in_(("add", "mark")), act.is_not(None)
        )
    )
    off: dict[str, list[float]] = defaultdict(list)
    on: dict[str, list[float]] = defaultdict(list)
    for subject, name, phone_at, server_at in rows:
        entry = build.entries.get(subject.partition(":")[2])
        if entry and name in _ACTS and entry.item.step and entry.item.kind is not Kind.FINDING:
            way = on if rung(entry.item.kind, _ACTS[name]) else off
            way[entry.item.step].append(_seconds(phone_at, server_at))
    return {
        step: (round(time_at_work(off[step]) / 60), round(time_at_work(on[step]) / 60))
        for step in off.keys() | on.keys()
    }


def _seconds(phone_at: str, server_at: str) -> float:
    try:
        return datetime.fromisoformat(phone_at or server_at).timestamp()
    except ValueError:
        return datetime.fromisoformat(server_at).timestamp()


def step_minutes(
    works: Iterable[Work], build: Snapshot, recorded: Mapping[str, tuple[int, int]]
) -> tuple[StepMinutes, ...]:
    """Return what a range of minutes is reckoned from: each step; lines without one count by themselves."""
    steps: dict[str, list[Work]] = defaultdict(list)
    for work in works:
        steps[build.entries[work.lines[0]].item.step if not work.leftover else ""].append(work)
    return tuple(_step_minutes(key, group, build, recorded) for key, group in steps.items())


def _step_minutes(
    key: str, group: Sequence[Work], build: Snapshot, recorded: Mapping[str, tuple[int, int]]
) -> StepMinutes:
    left = sum(work.open for work in group)
    if key not in build.step:
        return StepMinutes(key, MINUTES_EACH * left)
    off, on = recorded.get(key, (0, 0))
    lines = sum(len(work.lines) for work in group)
    return StepMinutes(
        key, build.step[key].minutes, off or None, on if on and not left else None, left / lines
    )
