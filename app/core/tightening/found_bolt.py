"""A bolt found on the floor: which group it can have come from, those still short of pieces first."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import IntEnum
from math import isclose

from app.core.items.items import Fastener, Item
from app.core.items.state import ItemState
from app.core.ledger.ledger import SETTLED_DESTINIES, count_pieces, is_unused
from app.core.numbers import spell_fractions
from app.core.problem import Problem
from app.core.threads.text import Thread, ThreadSystem, parse_thread, thread_designation
from app.core.tightening.drives import drive_in, standard_names
from app.core.tightening.fastener_text import parse_fastener
from app.core.tightening.parsed import parsed

SAME_LENGTH_MM = 0.5
"""Lengths nearer than this are one length, [mm]: no standard lengths of bolts lie closer. A rule of the
product."""
_LENGTH = re.compile(r"[0-9]{1,4}(?:[.,][0-9]{1,3}|(?:[-\s][0-9]{1,2})?/[0-9]{1,2})?\s*(?:mm|in\.?|[\"”″])?")
_NOT_EXPECTED = SETTLED_DESTINIES | {"replaced"}


class Fit(IntEnum):
    """How well a group answers to a found bolt, the best first."""

    LENGTH = 0
    THREAD = 1
    DIAMETER = 2


@dataclass(frozen=True, slots=True)
class Group:
    """A fastener group.

    Args:
        item: Its number and its words.
        thread: What its thread text says.
        short: How many of its pieces are missing or lost, [-].
    """

    item: Item
    thread: Thread
    short: int = 0


@dataclass(frozen=True, slots=True)
class Match:
    """A group that the found bolt can belong to."""

    group: Group
    fit: Fit
    same_head: bool


def short_of(item: Item, state: ItemState) -> int:
    """Return how many pieces of a group are out and not back, the lost ones too, [-].

    Groups that nothing is to go back into are not short: unused, left out, replaced, on the old engine.
    """
    if is_unused(state) or state.destiny.value in _NOT_EXPECTED:
        return 0
    pieces = count_pieces(item, state)
    return max(0, pieces.missing) + pieces.lost


def group_of(item: Item, state: ItemState) -> Group | None:
    """Return a fastener group, or `None` where the item is none or its thread cannot be read."""
    thread = parsed(item.detail).thread if isinstance(item.detail, Fastener) else None
    return Group(item, thread, short_of(item, state)) if thread else None


@dataclass(frozen=True, slots=True)
class FoundBolt:
    """A bolt that was found, as far as somebody could say.

    Args:
        thread: Its thread.
        length_mm: Its length under the head, [mm]; `None` where nobody measured it.
        head: Words for its head and drive.
    """

    thread: Thread
    length_mm: float | None
    head: str


def read_found(thread: str, length: str, head: str) -> FoundBolt | Problem:
    """Read what was typed about a found bolt.

    Args:
        thread: Its thread, or the whole line of a parts list or of a bag: `4 bolts M8x30 8.8, six-lobe`.
        length: Its length, where the thread does not say it: see `read_length`.
        head: Words for its head and drive; empty takes what the line says.
    """
    read = parse_thread(thread)
    if isinstance(read, Problem):
        line = parse_fastener(thread)
        if isinstance(line, Problem) or line.thread is None:
            return read
        read = line.thread
    length_mm = read_length(length, read)
    if isinstance(length_mm, Problem):
        return length_mm
    return FoundBolt(read, length_mm, head.strip() or drive_in(thread))


def read_length(text: str, thread: Thread) -> float | Problem | None:
    """Read a length typed beside the thread.

    Args:
        text: Such as `30`, `30 mm` or `1-1/4`: millimetres for a metric thread, inches for an inch thread.
        thread: The thread, perhaps with a length of its own.

    Returns:
        The length, [mm]; that of the thread, or `None`, where nothing is typed. A `Problem` for the field
        `length` where it cannot be read or is another one than the thread's.
    """
    typed = spell_fractions(text).strip()
    if not typed:
        return thread.length_mm
    bare = replace(thread, pitch_mm=thread.working_pitch_mm, length_mm=None, left_hand=False)
    read = parse_thread(f"{thread_designation(bare)} x {typed}") if _LENGTH.fullmatch(typed) else None
    if not isinstance(read, Thread) or read.length_mm is None:
        return Problem(
            "length-unreadable",
            f"“{typed[:20]}” is no length for {thread.label}. Measure under the head and write 30 for "
            "a metric thread, 1-1/4 for an inch thread; or leave it empty.",
            "length",
        )
    if thread.length_mm is not None and not _same_length(thread.length_mm, read.length_mm):
        return Problem("two-lengths", "The thread has another length than this one. Keep one.", "length")
    return read.length_mm


def match(groups: Iterable[Group], bolt: FoundBolt) -> tuple[Match, ...]:
    """Return the groups that a bolt can belong to: those still short first, then the nearest fit.

    Args:
        groups: All groups of the build.
        bolt: Its thread: the coarse pitch is taken for a missing one. The words for its head set the order
            of equal fits and leave nothing out.
    """
    found = [
        Match(group, fit, _same_head(group, bolt.head))
        for group in groups
        if (fit := _fit(group.thread, bolt.thread, bolt.length_mm)) is not None
    ]
    return tuple(
        sorted(found, key=lambda m: (not m.group.short, m.fit, not m.same_head, m.group.item.number))
    )


def _fit(group: Thread, bolt: Thread, length_mm: float | None) -> Fit | None:
    if not isclose(group.diameter_mm, bolt.diameter_mm, abs_tol=0.01):
        return None
    if bolt.system is ThreadSystem.PIPE and group.label != bolt.label:  # a pipe's size is a name
        return None
    if not _same_thread(group, bolt):
        return Fit.DIAMETER
    if length_mm is None or group.length_mm is None or not _same_length(group.length_mm, length_mm):
        return Fit.THREAD
    return Fit.LENGTH


def _same_thread(one: Thread, other: Thread) -> bool:
    if one.left_hand != other.left_hand:
        return False
    if one.system is ThreadSystem.PIPE:
        return one.series == other.series
    return isclose(one.working_pitch_mm or 0, other.working_pitch_mm or 0, abs_tol=0.005)


def _same_length(one_mm: float, other_mm: float) -> bool:
    return abs(one_mm - other_mm) < SAME_LENGTH_MM


def _same_head(group: Group, head: str) -> bool:
    theirs = group.item.detail.head if isinstance(group.item.detail, Fastener) else ""
    words = set(standard_names(head).casefold().split())
    return bool(words) and words <= set(standard_names(theirs).casefold().split())
