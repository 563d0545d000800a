"""What is outstanding, in the words of a list: since when, due when, for how much."""

from datetime import date

from app.core.days import day_text
from app.core.items.items import Item
from app.core.money import money_text
from app.core.procurement.outstanding import Outstanding
from app.core.procurement.to_get import GetLine
from app.core.wording.counts import counted


def joined(*words: str) -> str:
    """Return the words that say something, parted by dots."""
    return " · ".join(filter(None, words))


def terms_text(outstanding: Outstanding, today: date, where: str = "") -> str:
    """Return who has it, since when and for how much, as far as it is known."""
    return joined(where, _on("since", outstanding.since, today), _price(outstanding))


def everything_text(outstanding: Outstanding, today: date) -> str:
    """Return all that is written of it: for somebody whose page came too late."""
    return joined(
        outstanding.what,
        outstanding.at_whom,
        counted(outstanding.count, "piece"),
        _on("since", outstanding.since, today),
        _on("due", outstanding.due, today),
        _price(outstanding),
        _on("done", outstanding.done_on, today),
    )


def get_text(line: GetLine, item: Item | None, title: str, today: date) -> str:
    """Return what stands under a line of what is to be got: for what, ordered and due when, the price.

    Args:
        line: The line.
        item: The item that it is for; `None` where it is for none.
        title: The item's name as it is shown.
        today: The day on this machine's calendar.
    """
    outstanding = line.outstanding
    ordered = outstanding.since if outstanding and line.stage == "ordered" else None
    return joined(
        f"for #{item.number} {title}" if item else "",
        str(getattr(item.detail, "thread", "")) if item else "",
        str(getattr(item.detail, "spec", "")) if item else "",
        _on("ordered", ordered, today),
        _on("due", outstanding.due if outstanding else None, today),
        _price(outstanding) if outstanding else "",
    )


def arrived_text(line: GetLine, today: date) -> str:
    """Return what stands behind a line that has arrived: shop, price and day, and whether it has no use."""
    outstanding = line.outstanding
    return joined(
        line.shop,
        _price(outstanding) if outstanding else "",
        day_text(outstanding.done_on, today) if outstanding and outstanding.done_on else "",
        "" if line.needed else "fitted, or not needed any more",
    )


def _on(word: str, day: date | None, today: date) -> str:
    return f"{word} {day_text(day, today)}" if day else ""


def _price(outstanding: Outstanding) -> str:
    return money_text(outstanding.price) if outstanding.price else ""
