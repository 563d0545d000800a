"""Threads as manuals and packets print them, and their designation."""

import re
from dataclasses import replace

from app.core.numbers import mixed_fraction, spell_fractions
from app.core.problem import Problem
from app.core.threads.inch import (
    LONG_IN,
    NAME_FIRST,
    find_pipe,
    find_unified,
)
from app.core.threads.metric import find_metric
from app.core.threads.sizes import (
    MM_PER_INCH,
    Thread,
    ThreadSystem,
    stress_area_mm2,
    thread_problem,
)

__all__ = ["Thread", "ThreadSystem", "parse_thread", "stress_area_mm2", "thread_designation"]

_LEFT_HAND = re.compile(r"\bLH\b|left[\s-]hand", re.IGNORECASE)
_WHITWORTH = re.compile(r"\bBS[WF]\b|\bwhit(?:worth)?\b|\b\d{1,2}\s?BA\b", re.IGNORECASE)
_BELOW_ZERO = re.compile(r"\d\s*[x×*]\s*([-−–]\s?[.,]?\d[\d.,]*)")
_LONGEST = 200
_TOOL = (
    r"(?:drive\b|spanner|wrench|socket\b(?!\s*(?:head|set|cap|button|plug|screw))|hex\s?key|allen\s?key|a/?f\b"
    r"|across\s+flats|schlüssel(?:weite)?|clé\b|llave|chiave|sleutel|nyckel|chave)"
)
_SIZE = r"(?:\d+(?:\s*-\s*|\s+))?\d+(?:/\d+|[.,]\d+)?\s?(?:mm\b|in\b\.?|inch\b|[\"”″])?"
_TOOLS = re.compile(
    rf"(?<![\w./x×#-]){_SIZE}[\s-]*{_TOOL}|\b(?:SW|{_TOOL})\s*{_SIZE}(?![\w/-])", re.IGNORECASE
)
"""A spanner, a socket or its drive with its size: `13 mm spanner`, `1/2\" drive`, `SW 13`."""


def parse_thread(text: str) -> Thread | Problem:
    """Read a screw thread, with its length under the head if printed; words around it are passed over.

    Args:
        text: Such as `M10 x 1 x 45`, `1-1/8 - 7 UNC`, `¼-28`, `No.6-32UNC`, `1/8 in. NPT`.

    Returns:
        The thread, or a `Problem` for the field `thread`: missing, unreadable, impossible size or pitch,
        a pitch or length below zero.
    """
    if not text.strip():
        return thread_problem("missing", "Type the thread, such as M8x1.25x30 or 3/8-16 x 1-1/4.")
    spelled = spell_fractions(text[:_LONGEST])
    if _WHITWORTH.search(spelled):
        return thread_problem(
            "other-system", "Whitworth, BSF and BA threads are not known here; keep the print as a note."
        )
    if below := _BELOW_ZERO.search(spelled):
        return thread_problem(
            "below-zero",
            f"“{below[1]}” is below zero: neither a pitch nor a length is. Look at the print again.",
        )
    spelled, tool = _without_tools(spelled)
    thread = find_pipe(spelled) or find_metric(spelled) or find_unified(spelled)
    if thread is None:
        return _unreadable(spelled, tool)
    if isinstance(thread, Thread) and _LEFT_HAND.search(spelled):
        return replace(thread, left_hand=True)
    return thread


def _unreadable(text: str, tool: str) -> Problem:
    if tool:
        return thread_problem(
            "tool-size", f"“{tool}” is the size of a tool, not of a thread: give the thread."
        )
    return thread_problem(
        "unreadable", f"No thread in “{text.strip()[:40]}”. Write it as M8x1.25x30 or 3/8-16 x 1-1/4."
    )


def _without_tools(text: str) -> tuple[str, str]:
    """Return the text without the sizes of tools, and the first of them."""
    found = _TOOLS.search(text)
    return (_TOOLS.sub(" ", text), found.group().strip()) if found else (text, "")


def thread_designation(thread: Thread) -> str:
    """Return the thread in one canonical spelling; reading it gives an equal thread."""
    hand = " LH" if thread.left_hand else ""
    if thread.system is ThreadSystem.METRIC:
        numbers = (thread.pitch_mm, thread.length_mm)
        return thread.label + "".join(f"x{number:g}" for number in numbers if number is not None) + hand
    if thread.series in NAME_FIRST:
        return f"{thread.series} {thread.label}{hand}"
    pitch = f"-{thread.threads_per_inch:g}" if thread.threads_per_inch else ""
    series = f" {thread.series}" if thread.series else ""
    return f"{thread.label}{pitch}{series}{_length_text(thread)}{hand}"


def _length_text(thread: Thread) -> str:
    if thread.length_mm is None:
        return ""
    if not thread.length_in_inches:
        return f" x {thread.length_mm:g} mm"
    length = mixed_fraction(thread.length_mm / MM_PER_INCH)
    return f" x {length}" + (" in" if length.isdigit() and float(length) > LONG_IN else "")
