"""The bytes of a list: which coding they are in, and whether they are text at all."""

import re

from app.core.csv_lines import NO_TEXT
from app.core.problem import Problem

MOST_BYTES = 32 << 20
"""The largest file that is read, [bytes]."""

_MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)
_NO_LISTS = (
    (b"PK\x03\x04", "a workbook of a spreadsheet, or a zip file"),
    (b"\xd0\xcf\x11\xe0", "a workbook of an old spreadsheet"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"SQLite format 3", "a database"),
)
_WIDE_SHARE = 0.3  # of the bytes are zero in Latin text of 16 bits without a mark; half of them, as a rule
_LETTERS = rb"[\xc0-\xd6\xd8-\xf6\xf8-\xff]"
_OTHER_SCRIPT = re.compile(rb"(?=[\x80-\xff]{4})[\x80-\xff]*?" + _LETTERS + rb"[\x80-\xff]*?" + _LETTERS)
"""Four signs beyond ASCII in a row, two of them letters: Western words in Windows-1252 have no such."""
_ENCODED_HALF = re.compile(rb"\xed[\xa0-\xbf][\x80-\xbf]")
_MENDED = "Open it in a spreadsheet or an editor and save it once more as CSV, UTF-8."


def line_label(line: int, column: str = "") -> str:
    """Return where in a list something is, such as `line 12, torque`."""
    return f"line {line}, {column}" if column else f"line {line}"


def decode(data: bytes) -> str | Problem:
    """Return the text of a file: UTF-8, UTF-16 or UTF-32 with their mark, UTF-16 without it, Windows-1252.

    Returns:
        The text, or a `Problem`: empty, too large, no text, a character cut in half, another coding.
    """
    if not data.strip():
        return Problem("empty", "The file is empty.")
    if len(data) > MOST_BYTES:
        return Problem("too-large", f"The file is larger than {MOST_BYTES >> 20} MB: part it into several.")
    for mark, what in _NO_LISTS:
        if data.startswith(mark):
            return Problem("no-text", f"This is {what}, no CSV. In a spreadsheet, use «save as» and CSV.")
    return _decoded(data, next((name for mark, name in _MARKS if data.startswith(mark)), "") or _wide(data))


def _wide(data: bytes) -> str:
    """Tell text of 16 bits without a mark by the zeros in every other byte; empty where it is none."""
    for name, first in (("utf-16-le", 1), ("utf-16-be", 0)):
        zeros, others = data[first::2].count(0), data[1 - first :: 2].count(0)
        if not others and zeros > _WIDE_SHARE * len(data) / 2:
            return name
    return ""


def _decoded(data: bytes, encoding: str) -> str | Problem:
    try:
        return data.decode(encoding or "utf-8")
    except UnicodeDecodeError as error:
        if encoding or _is_broken_utf8(data):
            return _half(data, error.start, encoding or "utf-8")
    if other := _OTHER_SCRIPT.search(data):
        line = lines_in(data[: other.start()].decode("latin-1")) + 1
        told = f"This is text in a coding that is not known here, neither UTF-8 nor Windows-1252. {_MENDED}"
        return Problem("coding-unknown", told, line_label(line))
    try:
        return data.decode("cp1252")
    except UnicodeDecodeError as error:
        return _half(data, error.start, "cp1252")


def _is_broken_utf8(data: bytes) -> bool:
    """Tell UTF-8 with a fault in it from text of one byte a character, where such sequences do not occur."""
    read = data.decode("utf-8", errors="surrogateescape")
    return any("\x7f" < sign < "\ud800" or sign > "\udfff" for sign in read) or bool(
        _ENCODED_HALF.search(data)
    )


def _half(data: bytes, start: int, encoding: str) -> Problem:
    line = data[:start].decode(encoding, errors="ignore").count("\n") + 1
    return Problem(
        "half-character", f"A character is cut in half, or the file is no text. {_MENDED}", line_label(line)
    )


def fault_in(text: str) -> Problem | None:
    """Find the first sign that no text has: a control sign, half a character, what a lost one left."""
    found = NO_TEXT.search(text)
    if found is None:
        return None
    sign, where = found.group(), line_label(lines_in(text[: found.start()]) + 1)
    if sign == "\ufffd" or "\ud800" <= sign <= "\udfff":
        return Problem("half-character", f"A character was lost or cut in half here. {_MENDED}", where)
    name = "a NUL" if sign == "\0" else f"the control sign {ord(sign):#04x}"
    return Problem("no-text", f"There is {name} here: this is no text. {_MENDED}", where)


def lines_in(text: str) -> int:
    """Return how many ends of lines there are."""
    return len(re.findall(r"\r\n|\r|\n", text))
