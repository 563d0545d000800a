"""A line of a parts list: what kind of fastener, which thread or size, how long, how many."""

import re
from dataclasses import dataclass, replace

from app.core.numbers import mixed_fraction, spell_fractions
from app.core.problem import Problem
from app.core.threads.inch import INCHES, inches
from app.core.threads.sizes import MM_PER_INCH, Thread, number_size_inches
from app.core.threads.text import parse_thread
from app.core.tightening.drives import drive_in, without_drives

_KINDS = (
    (r"lock\s?washers?|washers?,\s*lock", "lockwasher"),
    (r"flat washers?|washers?,\s*(?:flat|plain)|plain washers?", "flat washer"),
    (r"washers?(?!\s*(?:head|faced))", "washer"),
    (r"lock\s?nuts?|nuts?,\s*(?:self-)?lock(?:ing)?", "locknut"),
    (r"nuts?", "nut"),
    (r"pipe plugs?|plugs?,\s*pipe|plugs?.*\bNPTF?", "pipe plug"),
    (r"socket plugs?|plugs?,\s*socket", "socket plug"),
    (r"plugs?", "plug"),
    (r"cap\s?screws?|screws?,\s*cap", "cap screw"),
    (r"set\s?screws?|screws?,\s*set", "setscrew"),
    (r"machine screws?|screws?,\s*machine", "machine screw"),
    (r"thread-cutting screws?", "thread-cutting screw"),
    (r"screws?", "screw"),
    (r"waisted bolts?", "waisted bolt"),
    (r"wheel bolts?", "wheel bolt"),
    (r"bolts?", "bolt"),
    (r"studs?", "stud"),
)
_COUNT = re.compile(
    r"\(?\b(\d{1,4})\s*(?:rqr|req'?d|required|places|plcs?|pcs|off|ea)\b\.?\)?"
    r"|\b(?:qty|quantity)\b[.:]?\s*(\d{1,4})"
    r"|\A\s*\(?(\d{1,3})\)?\s*[x×]?\s+(?=(?:bolts|cap\s?screws|nuts|screws|studs|washers|plugs)\b)",
    re.IGNORECASE,
)
_CLASS_NAME = r"(?:property\s*)?class|cl\.|grade|gr\.?|SAE"
_GRADE = re.compile(rf"(?:{_CLASS_NAME})\s*(?:{_CLASS_NAME})?\s*([1-9]\d?(?:\.\d)?)(?![\d.])", re.IGNORECASE)
_STAINLESS = re.compile(r"\bA[1-5]\s?-\s?(?:50|70|80|100)\b", re.IGNORECASE)
_BARE_CLASS = re.compile(r"(?<![\w.])((?:4|5)\.[68]|4\.8|6\.8|8\.8|9\.8|10\.9|12\.9)(?![\w.])")
_LENGTH = re.compile(
    rf"(?<![\w./])({INCHES})\s*(mm\b|in\b\.?|inch(?:es)?\b|[\"”″])\s*(?:long|length)", re.IGNORECASE
)
_SIZE = re.compile(rf"(?<![\w./])({INCHES})\s*(mm\b|in\b\.?|inch\b|[\"”″])", re.IGNORECASE)
_AT_MOST = re.compile(r"not over|not exceeding|not longer than|max(?:imum|\.)?\b|up to", re.IGNORECASE)
_AT_LEAST = re.compile(
    r"not under|not less than|min(?:imum|\.)?\b|at least|\bover\b|longer than", re.IGNORECASE
)
_NUMBERED = re.compile(r"(?:#|\bno\.?)\s*(\d{1,2})\b", re.IGNORECASE)


_LARGEST_NUMBER = 12


@dataclass(frozen=True, slots=True)
class FastenerText:
    """What a line of a parts list says.

    Args:
        kind: `bolt`, `nut`, `lockwasher` and so on; `None` where it is not said.
        thread: The thread, if the line prints one.
        size_mm: The bolt size that a washer or nut is for, [mm].
        pipe_size: The size of a pipe plug whose thread is not printed.
        length_mm: A length without a thread, [mm].
        limit: `maximum` or `minimum` where the length is only a limit.
        drive: What the tool takes hold of, by the standard's name.
        grade: Property class or `SAE grade 5`.
        count: How many, [-].
    """

    kind: str | None
    thread: Thread | None = None
    size_mm: float | None = None
    pipe_size: str | None = None
    length_mm: float | None = None
    limit: str | None = None
    drive: str | None = None
    grade: str | None = None
    count: int | None = None


def parse_fastener(text: str) -> FastenerText | Problem:
    """Read a line of a parts list such as `Stud, 1/2-13 x 2 13/16 in. (2 rqr)`.

    Returns:
        What the line says, or a `Problem` for the field `fastener` where it says no size, length or drive; a
        thread that cannot exist gives the `Problem` of the thread.
    """
    line = spell_fractions(text)
    count = _COUNT.search(line)
    bare = without_drives(line)
    for known in (_COUNT, _GRADE, _STAINLESS, _BARE_CLASS):
        bare = known.sub(" ", bare)
    said = FastenerText(
        kind=_kind_of(line),
        drive=drive_in(line) or None,
        grade=_grade_of(line),
        count=int(count[count.lastindex or 1]) if count else None,
    )
    thread = parse_thread(bare)
    if isinstance(thread, Thread):
        return replace(said, thread=thread)
    if thread.code not in {"thread-unreadable", "thread-missing"}:
        return thread
    return _without_thread(said, bare)


def _without_thread(said: FastenerText, line: str) -> FastenerText | Problem:
    length, size = _LENGTH.search(line), _SIZE.search(line)
    if length:
        limit = "maximum" if _AT_MOST.search(line) else "minimum" if _AT_LEAST.search(line) else None
        return replace(said, length_mm=_mm(length), limit=limit)
    if size and said.kind and "plug" in said.kind:
        return replace(said, pipe_size=mixed_fraction(inches(size.group(1))))
    if size and said.kind:
        return replace(said, size_mm=_mm(size))
    numbered = _NUMBERED.search(line)
    if numbered and said.kind and int(numbered.group(1)) <= _LARGEST_NUMBER:
        return replace(said, size_mm=number_size_inches(int(numbered.group(1))) * MM_PER_INCH)
    if said.drive:
        return said
    return Problem("fastener-unreadable", f"No size, length or drive in “{line.strip()[:40]}”.", "fastener")


def _kind_of(line: str) -> str | None:
    """Return the fastener named first; of two names that start together, the more exact one."""
    found = [
        (match.start(), at, kind)
        for at, (pattern, kind) in enumerate(_KINDS)
        if (match := re.search(rf"\b(?:{pattern})", line, re.IGNORECASE))
    ]
    return min(found)[2] if found else None


def _mm(match: re.Match[str]) -> float:
    return inches(match.group(1)) * (1 if match.group(2).lower() == "mm" else MM_PER_INCH)


def _grade_of(line: str) -> str | None:
    named, bare, stainless = (found.search(line) for found in (_GRADE, _BARE_CLASS, _STAINLESS))
    if stainless:
        return re.sub(r"\s", "", stainless.group()).upper()
    if named:
        number = named.group(1)
        return number if _BARE_CLASS.fullmatch(number) else f"SAE grade {number}"
    return bare.group(1) if bare else None
