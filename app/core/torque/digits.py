"""Figures that can be two: `1.250`, and a range whose hyphen was lost.

The second column decides, or the reader asks.
"""

import re
from collections.abc import Sequence
from decimal import Decimal

from app.core.numbers import printed_number
from app.core.torque.refusals import UnreadableError
from app.core.torque.tokens import Token
from app.core.torque.units import (
    Quantity,
    TorqueUnit,
    split_unit,
    torque_nm,
)
from app.core.torque.values import torque_of

_THREE_BEHIND = re.compile(r"(?<![\d.,])([1-9]\d{0,2})[.,](\d{3})(?![\d.,]*\d)")
_CAN_BE_TWO = re.compile(r"\d[.,]?\d{2}")
_WHOLE = re.compile(r"\s*(\d{3,6})\s*\Z")
_AGREES_WITHIN = 0.08
_WIDEST_OF_A_RANGE = 2
_HIGH_NM = 500
"""A single figure above is rare, [N·m]: the axle nuts of lorries. A rule of the product."""


def settle_numbers(tokens: Sequence[Token]) -> list[Token]:
    """Return the pieces with ambiguous figures settled by their second column.

    Raises:
        UnreadableError: Nothing decides.
    """
    return [
        _settled(tokens, at) if token.kind == "torque" and _CAN_BE_TWO.search(token.text) else token
        for at, token in enumerate(tokens)
    ]


def _settled(tokens: Sequence[Token], at: int) -> Token:
    token = tokens[at]
    parted = split_unit(token.text)
    if parted is None:
        return token
    numbers, unit, _ = parted
    if (found := _THREE_BEHIND.search(numbers)) and not _settled_by_others(numbers, found.group()):
        return _by_column(tokens, at, unit)
    whole = _WHOLE.match(numbers)
    if whole and not tokens[at].inside:
        _refuse_lost_hyphen(tokens, at, whole.group(1), unit)
    return token


def _settled_by_others(numbers: str, figure: str) -> bool:
    """`1.86-2.046`, `1.250,5`: another number of the piece shows which sign is the decimal one."""
    sign = "." if "." in figure else ","
    rest = numbers.replace(figure, " ")
    return bool(re.search(rf"\d[{sign}]\d{{1,2}}(?!\d)|\d[{sign}]\d{{4,}}|(?<!\d)0[{sign}]\d", rest))


def _by_column(tokens: Sequence[Token], at: int, unit: TorqueUnit) -> Token:
    token = tokens[at]
    thousands = _THREE_BEHIND.sub(r"\1\2", token.text)
    decimal = _THREE_BEHIND.sub(r"\1.\2", token.text)
    fitting = [text for text in (thousands, decimal) if _fits(text, tokens, at, unit)]
    if len(fitting) == 1:
        return token._replace(text=fitting[0])
    raise UnreadableError(
        "thousands",
        f"“{token.text.strip()}” can have a decimal sign or a sign of thousands. Write it as "
        f"{thousands.strip()} or with another number of decimals, such as {_shorter(decimal)}.",
    )


def _shorter(decimal: str) -> str:
    return re.sub(r"(\d+\.\d{2})\d\b", r"\1", decimal).strip()


def _fits(text: str, tokens: Sequence[Token], at: int, unit: TorqueUnit) -> bool:
    ours = torque_of(text)
    if ours is None:
        return False
    for place in range(max(0, at - 2), min(len(tokens), at + 5)):
        if place == at or tokens[place].kind != "torque" or _is_ambiguous(tokens[place].text):
            continue
        other = torque_of(tokens[place].text)
        if other and other.unit is not unit and other.high_nm and _near(ours.high_nm, other.high_nm):
            return True
    return False


def _is_ambiguous(text: str) -> bool:
    parted = split_unit(text)
    if parted is None:
        return True
    found = _THREE_BEHIND.search(parted[0])
    return bool(found) and not _settled_by_others(parted[0], found.group() if found else "")


def _near(one: float, other: float) -> bool:
    return abs(one - other) <= _AGREES_WITHIN * other


def _refuse_lost_hyphen(tokens: Sequence[Token], at: int, digits: str, unit: TorqueUnit) -> None:
    """`2025 N·m (15-18 lb·ft)` was 20-25; `2030 N·m` alone can be 20-30.

    Raises:
        UnreadableError: The figure is a range without its hyphen, or can be one.
    """
    low, high = _halves(digits)
    if not low:
        return
    whole_nm = torque_nm(Quantity(Decimal(digits), unit))
    columns = [
        torque for place in range(at + 1, min(len(tokens), at + 4))
        if tokens[place].kind == "torque"
        and (torque := torque_of(tokens[place].text))
        and torque.unit is not unit
    ]  # fmt: skip
    if any(_near(whole_nm, column.high_nm) or _near(whole_nm, column.low_nm) for column in columns):
        return
    high_nm = torque_nm(Quantity(high, unit))
    if any(abs(column.high_nm - high_nm) < 0.25 * high_nm for column in columns) or whole_nm > _HIGH_NM:
        raise UnreadableError(
            "hyphen-lost",
            f"“{digits} {unit}” can be {low}-{high} {unit} with its hyphen lost. Look at the print.",
        )


def _halves(digits: str) -> tuple[Decimal, Decimal]:
    low, high = printed_number(digits[: len(digits) // 2]), printed_number(digits[len(digits) // 2 :])
    is_range = digits[len(digits) // 2] != "0" and low < high <= _WIDEST_OF_A_RANGE * low
    return (low, high) if is_range else (Decimal(0), Decimal(0))
