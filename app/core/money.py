"""Money in integer minor units: read as typed, added up, and written again."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from app.core.problem import Problem

DECIMALS: Mapping[str, int] = MappingProxyType(
    {
        **dict.fromkeys(("EUR", "USD", "GBP", "CHF", "AUD", "CAD", "CZK", "DKK", "INR"), 2),
        **dict.fromkeys(("MXN", "NOK", "NZD", "PLN", "SEK", "ZAR"), 2),
        "JPY": 0,
    },
)
"""How many decimals a currency has: ISO 4217, column «minor unit» (from memory)."""

CURRENCIES = tuple(DECIMALS)
MOST_MINOR = 999_999_999
_AMOUNT = re.compile(r"([0-9]{1,7})(?:[.,]([0-9]{1,2}))?")


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in minor units (cents), 0 or more, of one currency."""

    minor: int
    currency: str


def read_money(typed: str, currency: str) -> Money | Problem:
    """Return what was typed, such as `12.50` or `12,5`, as money.

    Args:
        typed: A plain number without a sign for the currency and without signs between the thousands.
        currency: One of `CURRENCIES`.

    Raises:
        KeyError: The currency is unknown.
    """
    decimals = DECIMALS[currency]
    found = _AMOUNT.fullmatch(typed.strip())
    if found is None or len(found[2] or "") > decimals:
        example = "12.50" if decimals else "1250"
        return Problem("price", f"Type the price as a plain number, such as {example}.", "price")
    minor = int(found[1]) * 10**decimals + int((found[2] or "").ljust(decimals, "0") or "0")
    if minor > MOST_MINOR:
        return Problem("price", "This price is beyond what one line can hold: look at it again.", "price")
    return Money(minor, currency)


def plain_amount(money: Money) -> str:
    """Return the amount as a field takes it back, such as `12.50`."""
    decimals = DECIMALS[money.currency]
    if not decimals:
        return str(money.minor)
    whole, rest = divmod(money.minor, 10**decimals)
    return f"{whole}.{rest:0{decimals}d}"


def money_text(money: Money) -> str:
    """Return an amount with its currency, such as `12.50 EUR`."""
    return f"{plain_amount(money)} {money.currency}"


def total(amounts: Iterable[Money]) -> tuple[Money, ...]:
    """Return the sum for each currency, by the currency's name; nothing is converted."""
    sums: Counter[str] = Counter()
    for money in amounts:
        sums[money.currency] += money.minor
    return tuple(Money(minor, currency) for currency, minor in sorted(sums.items()))
