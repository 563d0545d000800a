"""Wrong data as a value: what is wrong, where, and what to do about it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """Something wrong in what was typed, photographed or sent.

    Args:
        code: A stable word for tests and pages, such as `unit-missing`.
        message: One or two sentences for the person: what is wrong and what to do.
        where: The field or place that it concerns; empty where it concerns the whole.
    """

    code: str
    message: str
    where: str = ""


STALE = Problem(
    "stale",
    "Somebody else changed this meanwhile, so yours is not written yet. What you typed is kept here: "
    "look at both, then send it again.",
)
"""The page did not know what stands there now: nothing of what it sent was written."""

OVERTAKEN = frozenset({STALE.code, "gone", "more-open"})
"""Codes of problems that are nobody's mistake: somebody else was faster."""
