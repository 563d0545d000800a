"""Rechecks after the first start: hot, the next day, after so many km; of the build and of each fastener."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from app.core.items.items import Item

_KM = re.compile(
    r"(?P<low>\d{1,6})(?:\s*[-–]\s*(?P<high>\d{1,6}))?\s*(?P<unit>km|mi|miles?)\b", re.IGNORECASE
)
_DAYS = re.compile(r"(?P<n>\d{1,3})\s*(?P<unit>days?|weeks?)\b", re.IGNORECASE)
_BETWEEN = re.compile(r"[,;+]|\b(?:and|then)\b", re.IGNORECASE)
_KM_PER_MILE = 1.609344
"""International mile, exact (memory)."""


@dataclass(frozen=True, slots=True)
class General:
    """A recheck that every build gets. `when` is "hot", "next day", "3 days", "50-100 km" or the like."""

    key: str
    text: str
    when: str
    source: str = "common practice"


@dataclass(frozen=True, slots=True)
class Recheck:
    """Something to look at again after the start.

    Args:
        key: Its name in lines; unique within one start.
        text: What to look at.
        when: As printed or as the crew says it.
        due: The day; `None` where only the distance counts.
        after_km: The distance driven after which it is due, [km]; `None` where only the day counts.
        due_km: The reading at which it is due, [km]; `None` where nobody read the counter at the start.
        item: The id of the item that asks for it; empty for the build's own.
    """

    key: str
    text: str
    when: str
    due: date | None = None
    after_km: float | None = None
    due_km: float | None = None
    item: str = ""
    source: str = ""


def rechecks(
    items: Iterable[Item], started_at: date, km: float | None, general: Iterable[General] = ()
) -> tuple[Recheck, ...]:
    """Return what is to be looked at again after a start: dated ones first, then by distance.

    Args:
        items: Those whose detail has a `retorque` text, such as "hot, then 500 km", get their own.
        started_at: The day of the start.
        km: The counter's reading at the start, [km]; `None` where nobody read it.
        general: What every build gets.
    """
    asked = [_dated(each.key, each.text, each.when, started_at, km, source=each.source) for each in general]
    for item in items:
        text = f"#{item.number} {item.name}".strip() + ": torque again"
        asked += [
            _dated(f"item:{item.id}{nth or ''}", text, when, started_at, km, item=item.id)
            for nth, when in enumerate(_each(str(getattr(item.detail, "retorque", "") or "")))
        ]
    return tuple(sorted(asked, key=_soonest))


def _each(text: str) -> list[str]:
    """Return the single rechecks of a text such as "hot, then after 500 km"."""
    return [when for part in _BETWEEN.split(text) if (when := part.strip())]


def _soonest(recheck: Recheck) -> tuple[bool, date, float]:
    return (recheck.due is None, recheck.due or date.min, recheck.after_km or 0)


def _dated(
    key: str, text: str, when: str, day: date, km: float | None, *, item: str = "", source: str = ""
) -> Recheck:
    after_km = read_km(when)
    due_km = None if km is None or after_km is None else km + after_km
    due = None if after_km is not None else day + timedelta(days=_days(when))
    return Recheck(key, text, when, due, after_km, due_km, item, source)


def read_km(when: str) -> float | None:
    """Return the least distance that a text names, [km]; `None` where it names none."""
    found = _KM.search(when)
    if not found:
        return None
    return int(found["low"]) * (1.0 if found["unit"].lower() == "km" else _KM_PER_MILE)


def _days(when: str) -> int:
    """Return after how many days a recheck is due; 0 for "hot" and whatever names no time."""
    if "next day" in when.casefold():
        return 1
    found = _DAYS.search(when)
    return int(found["n"]) * (7 if found["unit"].lower().startswith("week") else 1) if found else 0


def is_late(recheck: Recheck, today: date) -> bool:
    """Tell whether a recheck's day is past."""
    return recheck.due is not None and recheck.due < today
