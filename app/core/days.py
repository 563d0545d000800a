"""Days as they are typed and as they are read."""

import re
from datetime import date

from app.core.problem import Problem

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")


def read_day(typed: str, where: str) -> date | Problem:
    """Return a day typed as year-month-day.

    Args:
        typed: Such as `2031-05-04`.
        where: The field that a problem names.
    """
    found = _DAY.fullmatch(typed.strip())
    try:
        return date(*map(int, found.groups())) if found else _not_a_day(where)
    except ValueError:
        return _not_a_day(where)


def _not_a_day(where: str) -> Problem:
    return Problem("day", "Write the day as year-month-day, such as 2031-05-04.", where)


def past_problem(day: date, today: date, where: str) -> Problem | None:
    """Return what is wrong with a day that must be yet to come: it is over. Today is not."""
    if day >= today:
        return None
    said = f"{day_text(day, today)} is over: type a day that is still to come, or today."
    return Problem("day-past", said, where)


def future_problem(day: date, today: date, where: str) -> Problem | None:
    """Return what is wrong with a day on which something happened already: it is yet to come."""
    if day <= today:
        return None
    return Problem("day-future", f"{day_text(day, today)} is yet to come: type the day it happened.", where)


def day_text(day: date, today: date) -> str:
    """Return a day as it is said: `12 March`, with its year where that is not the present one."""
    words = f"{day.day} {_MONTHS[day.month - 1]}"
    return words if day.year == today.year else f"{words} {day.year}"
