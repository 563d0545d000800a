"""Inch thread texts: `3/8-16 x 1-1/4 UNC`, `#10-32`, `1 8 UNC`, `1/8 in. NPT`."""

import re

from app.core.numbers import mixed_fraction
from app.core.problem import Problem
from app.core.threads.sizes import (
    MM_PER_INCH,
    UNIFIED_SERIES,
    Thread,
    ThreadSystem,
    number_size_inches,
    series_of,
    thread_problem,
    unified_pitch_exists,
)

INCHES = r"(?:(?:\d+\s*[-\s]\s*)?\d{1,2}\s*/\s*\d{1,2}|\d*\.\d+|\d+)"
"""A regular expression for an inch size."""

_SIGN = r"(?:[\s-]?(?:in\b\.?|inch\b|[\"”″]))"
_SERIES = r"(?:UN[RJ]?(?:EF|[CFS])?|NEF|N[CF])(?![a-z])"
_TPI = r"(?:(?:4|11)\s?1/2|\d{1,2}(?:\.5)?)"
_FIT = r"(?:\s*-?\s*[123][AB]\b|(?<=[CFS])\s?-\s?[123](?![\d/.]))"
_UNIFIED = re.compile(
    rf"(?<![\w./])(?:(?:\#|no\.?)\s*(?P<number>\d{{1,2}})|(?P<size>{INCHES})){_SIGN}?"
    rf"(?:\s*[-–]\s*(?P<tpi>{_TPI})|\s+(?P<column>{_TPI})(?=\s*{_SERIES}))?(?![\d/.])"
    rf"(?:\s*-?\s*(?P<series>{_SERIES}))?{_FIT}?"
    rf"(?:\s*[x×*]\s*(?P<length>{INCHES})\s*(?P<mm>mm\b)?{_SIGN}?)?(?:\s*(?P<behind>{_SERIES}))?",
    re.IGNORECASE,
)
_WITH_A_CROSS = re.compile(
    rf"(?<![\w./-])(?P<lead>(?:\#|no\.?)\s*(?P<number>\d{{1,2}})|(?P<size>(?:\d+\s*-\s*)?\d+/\d+|\d)){_SIGN}?"
    rf"\s*[x×*]\s*(?P<tpi>\d{{1,2}})(?=\s*(?:[x×*]\s*[\d.]|{_SERIES}))",
    re.IGNORECASE,
)
_PIPE_SERIES = r"NPTF?|NPSM?|BSP[PT]?|P[TFS]"
_PIPE = re.compile(
    rf"(?<![\w./])(?P<size>{INCHES}){_SIGN}?(?:\s*-\s*{_TPI})?\s*-?\s*(?P<series>{_PIPE_SERIES})\b"
    rf"|\b(?P<letter>G|R[pc]?|{_PIPE_SERIES})\s?(?P<letter_size>{INCHES})(?![\d/-])",
    re.IGNORECASE,
)
_FRACTION = re.compile(r"(?:(\d+)\s*[-\s]\s*)?(\d+)\s*/\s*(\d+)")
_PIPE_NAMES = {"RC": "Rc", "RP": "Rp"}
NAME_FIRST = frozenset({"G", "R", "Rc", "Rp", "PT", "PF", "PS"})
"""Pipe threads whose name is printed in front of the size."""
_STILL_CALLED = {("1", 14.0): "UNF"}
"""1-14 is UNS today and is printed NF or UNF still. From memory of ASME B1.1."""
_OLD_NAMES = {"NC": "UNC", "NF": "UNF", "NEF": "UNEF"}
_LARGEST_IN = 4
LONG_IN = 4
_LONG_DIAMETERS = 16
"""A length of more inches, and of more diameters, can be one in millimetres. A rule of the product."""
_LONGEST_IN = 80


def inches(text: str) -> float:
    """Return an inch size such as `1-1/8`, `1 - 1/8`, `.250` or `7/16`, [in]; a fraction over 0 gives 0."""
    fraction = _FRACTION.fullmatch(text.strip())
    if fraction is None:
        return float(text)
    whole, part, parts = (int(digits or 0) for digits in fraction.groups())
    return whole + part / parts if parts else 0.0


def find_pipe(text: str) -> Thread | None:
    """Return the first pipe thread of a text; its size is a name, not a diameter.

    Source: ASME B1.20.1 (NPT), ISO 7-1 (R, Rc, Rp), ISO 228-1 (G), JIS B 0203 (PT), from memory.
    """
    match = _PIPE.search(text)
    if match is None:
        return None
    label = mixed_fraction(inches(match["size"] or match["letter_size"]))
    series = (match["series"] or match["letter"]).upper()
    return Thread(ThreadSystem.PIPE, 0.0, label, series=_PIPE_NAMES.get(series, series))


def find_unified(text: str) -> Thread | Problem | None:
    """Return the first unified thread of a text, a `Problem` if it cannot exist, `None` where there is none.

    A whole number in front of the hyphen is a numbered size where that size and pitch are tabled (`8-32`,
    `10-24`), else inches (`1-8`). A series without a pitch (`3/8 UNC`) gives the pitch. Source: ASME B1.1.
    """
    for match in _UNIFIED.finditer(_WITH_A_CROSS.sub(_with_a_hyphen, text)):
        if match["tpi"] or match["column"] or match["series"] or match["behind"]:
            return _unified(match)
    return None


def _with_a_hyphen(match: re.Match[str]) -> str:
    """`1/2 X 20 UNF` and `5/16 X 18 X 1-1/4`: a pitch behind a cross, where the size has it."""
    size = match["size"]
    label = f"#{int(match['number'])}" if match["number"] else mixed_fraction(inches(size))
    if not unified_pitch_exists(label, float(match["tpi"])):
        return match.group()
    return f"{match['lead']}-{match['tpi']}"


def _unified(match: re.Match[str]) -> Thread | Problem:
    pitch_text = match["tpi"] or match["column"]
    printed = _series_name(match["series"] or match["behind"])
    label, diameter = _size(match, pitch_text, printed)
    tpi = inches(pitch_text) if pitch_text else UNIFIED_SERIES.get(printed or "", {}).get(label)
    if not 0 < diameter <= _LARGEST_IN:
        return thread_problem(
            "size-impossible", f"{label} is no unified thread size: #0 to {_LARGEST_IN} in exist."
        )
    if tpi is None or not unified_pitch_exists(label, tpi):
        return thread_problem("pitch-impossible", _no_such_pitch(label, tpi))
    found = series_of(label, tpi)
    if printed in UNIFIED_SERIES and printed not in {found, _STILL_CALLED.get((label, tpi))}:
        return thread_problem(
            "series-mismatch", f"{label}-{tpi:g} is not {printed}: look at the print again."
        )
    length = _length_mm(match)
    if length is not None and _can_be_millimetres(match, diameter):
        return thread_problem(
            "length-unit", f"Is the length {match['length']} in millimetres or in inches? Write mm or in."
        )
    if length is not None and not 0 < length <= _LONGEST_IN * MM_PER_INCH:
        return thread_problem("length-impossible", f"A length of {match['length']} cannot be.")
    return Thread(
        ThreadSystem.UNIFIED,
        diameter * MM_PER_INCH,
        label,
        MM_PER_INCH / tpi,
        tpi,
        found,
        length,
        length_in_inches=length is not None and not match["mm"],
    )


def _size(match: re.Match[str], pitch_text: str | None, printed: str | None) -> tuple[str, float]:
    """Return the label and the diameter, [in]."""
    plain = match["number"] or match["size"]
    numbered = f"#{int(plain)}" if plain.isdigit() else ""
    if not numbered:
        diameter = inches(plain)
        by_number = {number_size_inches(number): f"#{number}" for number in range(13)}
        return by_number.get(diameter, mixed_fraction(diameter)), diameter
    tabled = pitch_text and series_of(numbered, inches(pitch_text))
    by_series = (
        not pitch_text and numbered in UNIFIED_SERIES.get(printed or "", {}) and int(plain) > _LARGEST_IN
    )
    if match["number"] or tabled or by_series:
        return numbered, number_size_inches(int(plain))
    return plain, float(plain)


def _can_be_millimetres(match: re.Match[str], diameter: float) -> bool:
    """A whole number without a unit that is long for inches: lengths are not guessed across systems."""
    said = match.group()[match.end("length") - match.start() :].strip()
    has_unit = bool(match["mm"]) or bool(re.match(r"(?:in\b|inch|[\"”″])", said, re.IGNORECASE))
    whole = match["length"].isdigit()
    return whole and not has_unit and float(match["length"]) > max(LONG_IN, _LONG_DIAMETERS * diameter)


def _length_mm(match: re.Match[str]) -> float | None:
    if not match["length"]:
        return None
    return inches(match["length"]) * (1 if match["mm"] else MM_PER_INCH)


def _series_name(printed: str | None) -> str | None:
    name = (printed or "").upper().replace("UNR", "UN").replace("UNJ", "UN")
    return _OLD_NAMES.get(name, name) or None


def _no_such_pitch(label: str, tpi: float | None) -> str:
    known = ", ".join(
        f"{sizes[label]:g} ({name})" for name, sizes in UNIFIED_SERIES.items() if label in sizes
    )
    told = f"{tpi:g} threads per inch do not exist on {label}" if tpi else f"{label} has no such series"
    return f"{told}.{f' Usual are {known}.' if known else ''}"
