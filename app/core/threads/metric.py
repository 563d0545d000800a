"""Metric thread texts: `M8`, `M8x44`, `M10 x 1 x 45`, `M12-1.75 x 50`, `M10 P1.25`."""

import re

from app.core.numbers import printed_number
from app.core.problem import Problem
from app.core.threads.sizes import (
    METRIC_COARSE,
    METRIC_PITCHES,
    Thread,
    ThreadSystem,
    thread_problem,
)

_DECIMAL = r"(?:\d+(?:[.,]\d+)?|\.\d+)"
_TOLERANCE = r"(?:\s?-\s?\d[ghe](?:\d[ghe])?)?"
_CLASS = r"(?:[45]\.6|[456]\.8|[89]\.8|10\.9|12\.9)(?![\d.])"
_JOIN = r"(?:\s*[x×*]\s*(?:P\s?)?|\s?-\s?|\s*\bP\s?)"
_NEXT = rf"(?:{_JOIN}(?!{_CLASS})({_DECIMAL})(?![\d/]|\s?[ghe]\b))?{_TOLERANCE}"
_METRIC = re.compile(
    rf"(?<![a-z0-9])MJ?\s?({_DECIMAL})(?![\d/])" + 2 * _NEXT,
    re.IGNORECASE,
)
_BARE = re.compile(
    r"(?<![\w./#-])(\d{1,2})(?:\s?mm)?\s?[-x×*]\s?(\d[.,]\d{1,2})(?![\d/])"
    r"(?:\s*[x×*]\s*(\d+(?:[.,]\d+)?)(?![\d/]))?(?!\s*(?:UN|N[CF]\b|in\b|inch|[\"”″]))",
    re.IGNORECASE,
)
_IN_INCHES = re.compile(r"\s*[x×*]?\s*(?:\d+\s*[-\s]\s*)?\d+/\d+|\s*(?:in\b|inch|[\"”″])", re.IGNORECASE)
_SHORTEST_LENGTH_MM = 4
"""Shorter ones exist on sizes below M4 only."""
_LARGEST_MM = 100
_LONGEST_MM = 2000


def find_metric(text: str) -> Thread | Problem | None:
    """Return the first metric thread of a text, a `Problem` if it cannot exist, `None` where there is none.

    A size may lack its M where its pitch is printed with decimals: `8-1.25`. A length in inches is not taken.

    Of two numbers behind the size, the first is the pitch and the second the length. A single one is the
    pitch if a pitch of that size exists, else the length, which starts at 4 mm (below M4 at the diameter). A
    pitch above the coarse one does not exist (ISO 261).
    """
    match = _METRIC.search(text)
    if match is None:
        return _find_bare(text)
    inches = _IN_INCHES.match(text, match.end()) or _fraction_inside(text, match)
    if inches:
        return thread_problem(
            "length-unit",
            f"“{text.strip()[:40]}” mixes a metric size with inches. Write the length in millimetres.",
        )
    size, *behind = (float(printed_number(part)) for part in match.groups() if part)
    if not min(METRIC_COARSE) <= size <= _LARGEST_MM:
        return thread_problem(
            "size-impossible", f"{size:g} mm is no metric thread size: M1.6 to M{_LARGEST_MM} exist."
        )
    return _sized(size, behind)


def _fraction_inside(text: str, match: re.Match[str]) -> bool:
    """`M8 x 1-1/4`, where the whole inch was taken for a pitch."""
    return bool(re.match(r"\s*[-\s]\s*\d+/\d+|/\d", text[match.end() :]))


def _find_bare(text: str) -> Thread | None:
    """Read `8-1.25` and `10x1.5x30`: a size without its M, with a pitch that it has."""
    for match in _BARE.finditer(text):
        size, pitch = float(match[1]), float(printed_number(match[2]))
        if size in METRIC_COARSE and _is_pitch(size, pitch):
            read = _sized(size, [pitch, float(printed_number(match[3]))] if match[3] else [pitch])
            return read if isinstance(read, Thread) else None
    return None


def _sized(size: float, behind: list[float]) -> Thread | Problem:
    pitches = [number for number in behind if _is_pitch(size, number)]
    lengths = [number for number in behind if not _is_pitch(size, number)]
    if len(behind) > 1:
        pitches, lengths = (pitches[:1], lengths[:1]) if lengths else (behind[:1], behind[1:])
    bad = next(
        (number for number in lengths if not min(size, _SHORTEST_LENGTH_MM) <= number <= _LONGEST_MM), None
    )
    if bad is not None or len(lengths) > 1 or (len(behind) > 1 and not pitches):
        return thread_problem("pitch-impossible", _no_such_pitch(size, behind[0] if bad is None else bad))
    pitch, length = (numbers[0] if numbers else None for numbers in (pitches, lengths))
    return Thread(ThreadSystem.METRIC, size, f"M{size:g}", pitch, length_mm=length)


def _is_pitch(size: float, pitch: float) -> bool:
    return pitch in METRIC_PITCHES and pitch <= METRIC_COARSE.get(size, size / 4)


def _no_such_pitch(size: float, pitch: float) -> str:
    coarse = METRIC_COARSE.get(size)
    known = f" The coarse pitch of M{size:g} is {coarse:g}; fine ones are below." if coarse else ""
    return f"A pitch of {pitch:g} mm does not exist on M{size:g}.{known}"
