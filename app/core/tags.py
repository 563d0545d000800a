"""The code on a tag: drawing, showing, reading it typed or scanned, and checking it.

A code is six random symbols and one check character of ISO/IEC 7064 MOD 37,2, which finds every
single wrong symbol and every swap of two neighbours.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from app.core.problem import Problem

# Without 0, 1, I, L, O and U, which are taken for one another.
ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH = 7
# A longer name would make the printed square larger than version 3 at level Q.
LONGEST_NAME = 13

_SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
_LOOK_ALIKES = {
    "0": "an 8, a D or a Q",
    "O": "a D or a Q",
    "1": "a 7 or a T",
    "I": "a J or a T",
    "L": "an E or a K",
    "U": "a V",
}
_HOST_NAME = re.compile(r"[A-Z0-9]([A-Z0-9-]*[A-Z0-9])?", re.ASCII)
_TAIL = re.compile(r"/T/([^/]*)(?:/([A-Z]))?/?", re.ASCII)
_GAPS = re.compile(r"[\s\-\u2010-\u2015\u2212._]+")


@dataclass(frozen=True, slots=True)
class Address:
    """What a scanned tag says: its code, and the letter of the half where there are halves.

    Args:
        code: Seven symbols that pass their check.
        half: One letter `A` to `Z`; None on a tag without halves.
    """

    code: str
    half: str | None = None


def check_character(payload: str) -> str:
    """Return the ISO/IEC 7064 MOD 37,2 check character of `payload`.

    Args:
        payload: Any number of signs `0-9`, `A-Z`.

    Returns:
        One sign of `0-9`, `A-Z` or `*`.

    Raises:
        ValueError: `payload` holds another sign.

    Source: ISO/IEC 7064, pure system with radix 2 and modulus 37.
    """
    return _SIGNS[(1 - 2 * _remainder(payload)) % len(_SIGNS)]


def draw_code(choose: Callable[[str], str]) -> str:
    """Return a new code.

    Args:
        choose: Returns one symbol of the text given to it, each as likely as the others.

    About one draw in five is repeated, because its check character is not on the tags' alphabet.
    """
    while True:
        payload = "".join(choose(ALPHABET) for _ in range(CODE_LENGTH - 1))
        code = payload + check_character(payload)
        if is_code(code):
            return code


def is_code(text: str) -> bool:
    """Tell whether `text` is a code as stored: seven capitals and digits that pass the check."""
    return len(text) == CODE_LENGTH and all(sign in ALPHABET for sign in text) and _remainder(text) == 1


def shown(code: str) -> str:
    """Return the code as people read it: `7K3F9QQ` as `7K3-F9QQ`."""
    return f"{code[:3]}-{code[3:]}"


def is_host_name(name: str) -> bool:
    """Tell whether tags can carry `name` before `.local`.

    One to thirteen letters `a-z`, digits and hyphens, no hyphen at either end (RFC 1123).
    """
    return name.isascii() and len(name) <= LONGEST_NAME and _HOST_NAME.fullmatch(name.upper()) is not None


def payload(name: str, port: int, code: str, half: str | None = None) -> str:
    """Return the address that a tag's square holds, `http://GARAGE.LOCAL:8765/T/7K3F9QQ/A`.

    The scheme stays in lower case, because some phones do not open `HTTP://`; capitals take less room.

    Args:
        name: The laptop's name on the network without `.local`, see `is_host_name`.
        port: 1 to 65535.
        code: A valid code.
        half: One letter `A` to `Z`, or None.

    Raises:
        ValueError: One of them is out of its range.
    """
    if not is_host_name(name) or port not in range(1, 65536) or not is_code(code) or not _is_half(half):
        raise ValueError(f"no tag address can be made of {name!r}, {port!r}, {code!r}, {half!r}")
    tail = f"/{half}" if half else ""
    return f"http://{name.upper()}.LOCAL:{port}/T/{code}{tail}"


def read_payload(text: str) -> Address | None:
    """Return what a scanned address says, or None where it is no tag's.

    Only the tail counts: tags printed under another name or port stay readable.
    """
    tail = _tail(text)
    return tail if tail and is_code(tail.code) else None


def read_typed(text: str) -> str | Problem:
    """Return the code that a person typed or pasted.

    Any case, blanks, dashes, a half letter behind the code and a tag's whole address are taken. Signs
    that no tag carries are refused, never guessed.
    """
    if "://" in text and _tail(text) is None:
        return _refused(
            "code-address", "This address is not a tag's. Type the seven symbols beside its square."
        )
    code = _squeezed(text)
    if not code:
        return _refused("code-empty", "Type the seven symbols on the tag, such as 7K3-F9QQ.")
    strange = next((sign for sign in code if sign not in ALPHABET), None)
    if strange:
        return _strange_sign(strange)
    if len(code) != CODE_LENGTH:
        return _refused("code-length", f"A tag's code has seven symbols; {len(code)} were typed.")
    if not is_code(code):
        message = (
            "This is no tag's code: a symbol is wrong, or two have changed places. Look at the tag again."
        )
        return _refused("code-check", message)
    return code


def neighbours(typed: str, issued: Iterable[str]) -> tuple[str, ...]:
    """Return the issued codes that `typed` may have meant, in alphabetical order.

    Those one symbol away, or with two neighbouring symbols swapped. Meant for typed text that
    `read_typed` refused; a scanned square has its own error correction.
    """
    code = _squeezed(typed)
    return tuple(sorted(other for other in issued if _one_slip(code, other)))


def _remainder(text: str) -> int:
    total = 0
    for sign in text:
        total = (2 * total + _SIGNS.index(sign)) % len(_SIGNS)
    return total


def _is_half(half: str | None) -> bool:
    return half is None or (len(half) == 1 and half.isascii() and half.isupper())


def _tail(text: str) -> Address | None:
    if not text.isascii():
        return None
    capitals = text.strip().upper()
    start = capitals.rfind("/T/")
    found = _TAIL.fullmatch(capitals, start) if start >= 0 else None
    return Address(found[1], found[2]) if found else None


def _squeezed(text: str) -> str:
    tail = _tail(text)
    code = _GAPS.sub("", tail.code if tail else text.upper())
    with_half = re.fullmatch(r"(.{7})/?[A-Z]", code, re.ASCII)
    return with_half[1] if with_half and is_code(with_half[1]) else code


def _strange_sign(sign: str) -> Problem:
    if sign in _LOOK_ALIKES:
        meant = _LOOK_ALIKES[sign]
        message = f"No tag carries {sign}: 0, 1, I, L, O and U are left out. Look again, it may be {meant}."
        return _refused("code-look-alike", message)
    return _refused(
        "code-sign", f"“{sign}” is on no tag. A code has only digits and letters, such as 7K3-F9QQ."
    )


def _one_slip(typed: str, issued: str) -> bool:
    if len(typed) != len(issued):
        return False
    wrong = [at for at, (left, right) in enumerate(zip(typed, issued, strict=True)) if left != right]
    if len(wrong) == 1:
        return True
    swapped = len(wrong) == 2 and wrong[1] == wrong[0] + 1  # noqa: PLR2004  # a swap touches two places
    return swapped and (typed[wrong[0]], typed[wrong[1]]) == (issued[wrong[1]], issued[wrong[0]])


def _refused(code: str, message: str) -> Problem:
    return Problem(code, message, "code")
