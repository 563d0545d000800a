"""Words that forbid, limit or question a printed torque: what is not an order to tighten is refused.

Each refusal says the word that it stopped at; a word is never passed over because a number stands beside it.
"""

import re
from collections.abc import Sequence
from itertools import pairwise

from app.core.torque.names import VARIANT_OF
from app.core.torque.refusals import UnreadableError
from app.core.torque.tokens import Token
from app.core.torque.units import split_unit
from app.core.torque.values import deviation_percent, torque_of

_SAME_VALUE_WITHIN = 10.0
"""Two units of one value joined by `or` differ by less, [%]: rounding through kgf·m alone gives 2 %. A rule
of the product."""
_LOOK_AHEAD = 6
_VALUES = frozenset({"torque", "angle"})
_PARTING = frozenset({"then", "hard", "stop", "step", "line", "and"})
_ADJACENT = frozenset({"over", "above", "under", "below"})
_COMPARING = re.compile(
    r"(?:over|above|under|below|(?:less|more|greater)\W+than|up\W+to|plus\W+de|moins\W+de|m[áa][si]s\W+de"
    r"|menos\W+de|più\W+di|meno\W+di|mehr\W+als|weniger\W+als|meer\W+dan|minder\W+dan|mindre\W+än|bis\W+zu)\Z",
    re.IGNORECASE,
)
_HARMLESS = frozenset({
    "torque", "fastener", "part", "tighten", "range", "comma", "stop", "line", "slash", "callout", "step",
    "number", "label", "nothing", "unit", "then", "hard", "again",
})  # fmt: skip
_NOT_AN_ORDER: dict[str, tuple[str, str]] = {
    "not": ("negation", "“{}” forbids something: write what is to be done, and keep the warning as a note."),
    "if": ("conditional", "“{}” makes it depend on something: write the value that holds here."),
    "example": (
        "not-a-value",
        "“{}”: that is no torque to tighten to. Write the value that the manual orders.",
    ),
    "run_on": ("run-on", "“{}” adds something. Measure the running torque, add it, and write the sum."),
    "minus": (
        "minus",
        "“{}” can take off torque or turn back. Write “loosen” with its angle, or the value alone.",
    ),
    "percent": ("share", "“{}”: a share of a torque is no torque. Write the value itself."),
    "turns": (
        "turn-unread",
        "How far to turn was not read: stopped at “{}”. Write degrees or a fraction such as 1/4 turn.",
    ),
}


def without_warnings(tokens: Sequence[Token]) -> list[Token]:
    """Return the pieces with limits, zero and `or` settled.

    Raises:
        UnreadableError: A word forbids, questions or joins in a way that leaves two readings.
    """
    if _HARMLESS.issuperset(token.kind for token in tokens):
        return list(tokens)
    settled = _with_ranges(_with_tools(_with_limits(list(tokens))))
    _refuse_felt_beside_a_value(settled)
    last = max((at for at, token in enumerate(settled) if token.kind in _VALUES), default=-1)
    for at, token in enumerate(settled):
        if token.kind in _NOT_AN_ORDER:
            code, message = _NOT_AN_ORDER[token.kind]
            raise UnreadableError(code, message.format(token.text))
        if token.kind == "measured" and at < last:
            raise UnreadableError(
                "measured", f"“{token.text}”: a value that is measured or checked is no order to tighten."
            )
    _refuse_without_an_act(settled)
    _refuse_a_later_value(settled)
    _refuse_a_rate(settled)
    return _with_or(settled)


def _with_ranges(tokens: list[Token]) -> list[Token]:
    """`between 20 N·m and 30 N·m` is a range.

    Raises:
        UnreadableError: `between` has no two numbers behind it.
    """
    for at, token in enumerate(tokens):
        if token.kind != "between":
            continue
        kinds = [each.kind for each in tokens[at + 1 : at + 4]]
        if kinds == ["torque", "and", "torque"]:
            tokens[at + 2] = tokens[at + 2]._replace(kind="range")
        elif kinds[:1] == ["torque"]:
            raise UnreadableError("range-open", f"“{token.text}” wants two values. Write both ends.")
    return tokens


def _refuse_a_rate(tokens: Sequence[Token]) -> None:
    """`20 N·m per 10 mm` and `beyond 20 N·m` are no value to tighten to."""
    for first, sign, other in zip(tokens, tokens[1:], tokens[2:], strict=False):
        one = torque_of(first.text) if first.kind == "torque" and sign.text == "=" else None
        if one and one.band.low == one.band.high == 1 and other.kind == "torque":
            raise UnreadableError(
                "not-a-value",
                f"“{first.text.strip()} = {other.text.strip()}” converts a unit.",
            )
    for token, behind in pairwise(tokens):
        lower = token.text.lower()
        if (lower == "per" and behind.kind in {"nothing", "number"}) or (
            lower in _BEYOND and behind.kind == "torque"
        ):
            raise UnreadableError(
                "not-a-value", f"“{token.text} {behind.text.strip()}” is no value to tighten to."
            )


_BEYOND = frozenset({"beyond", "past", "oltre"})


def _refuse_without_an_act(tokens: Sequence[Token]) -> None:
    """`sans serrer`, `without tightening` forbid the act."""
    for token, behind in pairwise(tokens):
        without = VARIANT_OF.get(token.text.lower()) == ("fit", "without")
        if without and behind.kind in {"tighten", "turn", "again", "loosen"}:
            code, message = _NOT_AN_ORDER["not"]
            raise UnreadableError(code, message.format(f"{token.text} {behind.text}"))


def _refuse_a_later_value(tokens: Sequence[Token]) -> None:
    later = next((token for token in tokens if token.kind == "later"), None)
    if later is None:
        return
    units = [parted[1] for token in tokens if token.kind == "torque" and (parted := split_unit(token.text))]
    if len(units) > len(set(units)):
        raise UnreadableError(
            "later-value",
            f"“{later.text}”: one of the values is for later. Write the one for now; note the other.",
        )


def _with_limits(tokens: list[Token]) -> list[Token]:
    """Turn `not more than` round, and leave `under the head` alone."""
    for at, token in enumerate(tokens):
        if token.kind not in {"not", "least", "most"}:
            continue
        behind = tokens[at + 1 : at + 1 + _LOOK_AHEAD]
        if token.kind == "not":
            limit = next((n for n, each in enumerate(behind) if each.kind in {"least", "most"}), None)
            words = behind[:limit] if limit is not None else behind
            if limit is not None and not any(each.kind in _VALUES for each in words):
                opposite = "most" if behind[limit].kind == "least" else "least"
                tokens[at] = token._replace(kind="small")
                tokens[at + 1 + limit] = behind[limit]._replace(kind=opposite)
        elif token.kind in {"least", "most"} and _COMPARING.match(token.text):
            near = next((each.kind for each in behind if each.kind not in {"approx", "small"}), "")
            if _kind(tokens, at - 1) in _VALUES:
                raise UnreadableError(
                    "limit-unread", f"“{token.text}” compares with something that was not read."
                )
            if near not in _VALUES:
                tokens[at] = token._replace(kind="aside")
        elif token.text.lower() == "min" and _kind(tokens, at - 1) in _VALUES and _kind(behind, 0) == "angle":
            raise UnreadableError("minus", "“min” before a turn can be minus or a limit. Write which.")
    return tokens


_SHORTEST_TOOL = 9
_TOOLS = re.compile(
    r"torque[\s-]wrench|drehmomentschlüssel|clé\W+dynamométrique|llave\W+dinamométrica|chiave\W+dinamometrica"
    r"|momentsleutel|chave\W+dinamométrica|momentnyckel",
    re.IGNORECASE,
)


def _with_tools(tokens: list[Token]) -> list[Token]:
    """A range that follows the name of a wrench is the wrench's own: it is not tightened to."""
    for at, token in enumerate(tokens):
        if token.kind == "range_of_tool":
            tokens[at] = token._replace(kind="felt")
        elif token.kind == "small" and len(token.text) > _SHORTEST_TOOL and _TOOLS.match(token.text):
            behind = next(
                (each for each in tokens[at + 1 :] if each.kind not in {"comma", "range", "bar"}), None
            )
            torque = torque_of(behind.text) if behind and behind.kind == "torque" else None
            if torque and torque.band.low < torque.band.high:
                tokens[at] = token._replace(kind="felt")
    return tokens


def _refuse_felt_beside_a_value(tokens: Sequence[Token]) -> None:
    felt = [at for at, token in enumerate(tokens) if token.kind == "felt"]
    if not felt:
        return
    values = [at for at, token in enumerate(tokens) if token.kind in _VALUES and not token.inside]
    if not values:
        return
    joined = any(
        token.kind in {"plus", "run_on", "further"}
        or token.text == "+"
        or (token.kind in {"least", "most"} and token.text.lower() in _ADJACENT)
        for token in tokens
    )
    parted = any(tokens[at].kind in _PARTING for at in range(values[0], values[-1]))
    if joined or (len(values) > 1 and parted):
        raise UnreadableError(
            "run-on",
            f"“{tokens[felt[0]].text}” is a torque that is felt. If it comes on top, measure it, add it and "
            "write the sum; else keep it as a note.",
        )


def _with_or(tokens: list[Token]) -> list[Token]:
    for at, token in enumerate(tokens):
        if token.kind != "or" and not _is_dutch_or(tokens, at):
            continue
        before = next((each for each in reversed(tokens[:at]) if each.kind in _VALUES), None)
        behind = next((each for each in tokens[at + 1 :] if each.kind in _VALUES), None)
        if {_kind(tokens, at - 1), _kind(tokens, at + 1)} & {"nothing", "number"} and (before or behind):
            raise UnreadableError("either-or", f"“{token.text}” leaves a choice. Write what is used here.")
        if before and behind is None and not token.inside:
            raise UnreadableError("either-or", f"“{token.text}” leaves a choice. Write what is used here.")
        if before is None or behind is None:
            continue
        if not _says_the_same(before, behind):
            raise UnreadableError(
                "either-or",
                f"“{before.text.strip()} {token.text} {behind.text.strip()}”: either the one or the other. "
                "Write the one that is used here.",
            )
        tokens[at] = token._replace(kind="same")
    return tokens


def _is_dutch_or(tokens: Sequence[Token], at: int) -> bool:
    return tokens[at].text == "of" and _kind(tokens, at - 1) in _VALUES and _kind(tokens, at + 1) in _VALUES


def _kind(tokens: Sequence[Token], at: int) -> str:
    return tokens[at].kind if 0 <= at < len(tokens) else ""


def _says_the_same(one: Token, other: Token) -> bool:
    if one.kind != "torque" or other.kind != "torque":
        return False
    first, second = torque_of(one.text), torque_of(other.text)
    if first is None or second is None or first.unit is second.unit:
        return False
    return deviation_percent(first, second) <= _SAME_VALUE_WITHIN


def names_a_zero(token: Token) -> bool:
    """Tell whether a torque is zero, as in `back off to 0 N·m`."""
    parted = split_unit(token.text) if token.text.startswith("0") else None
    return parted is not None and not parted[0].strip(" 0.,")
