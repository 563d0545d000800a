"""The order as a person reads it: what a thing waits for, what it skips, where it leaves the reverse."""

from collections.abc import Mapping, Sequence
from datetime import date
from types import MappingProxyType

from app.core.days import day_text
from app.core.items.items import Item
from app.core.order.graph import STATED, Deviation
from app.core.order.ready import Held
from app.core.procurement.outstanding import Outstanding, Unavailable
from app.core.wording.heights import HEIGHT_TEXT
from app.core.wording.items import item_title, numbered

_HELD_BY: Mapping[str, str] = MappingProxyType(
    {
        "undecided": "undecided",
        "disagree": "two people say different things",
        "does-not-fit": "something that was marked does not fit",
        "apart": "it still comes apart",
    },
)
MILESTONE_TEXTS: Mapping[str, str] = MappingProxyType(
    {
        "mating": "engine and gearbox together",
        "lift_in": "the engine lifted in",
        "landed": "the engine landed, its weight on its mounts",
        "power_on": "the battery connected",
        "first_start": "all that comes before the first start",
        "started": "the first start",
        "moved": "all that comes before the first drive",
    },
)
"""What must have been before something can go on."""
_NUMBERS: Mapping[str, str] = MappingProxyType({"2": "two", "3": "three", "4": "four"})
_DEPARTURES: Mapping[str, str] = MappingProxyType(
    {
        "moved": "moved after {}",
        "later": "tightened later in step «{}»",
        "loosened": "loosened and tightened again in step «{}»",
        "twice": "fitted twice, first in step «{}»",
        "during": "put back during removal, comes out again in step «{}»",
    },
)
_WHY_MOVED: Mapping[str, str] = MappingProxyType(
    {
        "holds": "it holds that",
        "joins": "it joins that",
        "covers": "it covers that",
        "start-all": "all groups of a joint are started first",
        "ground-last": "the battery's ground cable goes on last",
        "in-step": "it is part of that step",
        "milestone": "it goes on after that",
        "seals": "that seals it",
        "closes": "that closes its opening and comes out first",
        "stud-first": "studs go in before what they carry",
        "circuit-closed": "a circuit is closed before it is filled",
        "housing-first": "a converter’s bolts go in once the bellhousing is tight",
        "mounts-last": "mounts are tightened after exhaust and shafts",
    },
)


_WHY_FIRST: Mapping[str, str] = MappingProxyType(
    {
        "holds": "this holds it on",
        "joins": "this plugs into it",
        "covers": "this hides it",
        "start-all": "start all bolts of the joint first",
        "ground-last": "the battery's ground cable goes on last",
        "seals": "it seals this",
        "closes": "it closes this opening and comes out first",
        "stud-first": "studs go in before what they carry",
        "circuit-closed": "close the system before you fill it",
        "mounts-last": "mounts are tightened after exhaust and shafts",
    },
)


def why_first_text(why: str) -> str:
    """Return why another thing comes first, beside that thing's name; empty where the order alone says so.

    Args:
        why: As `why_before` returns it; what the user stated is said in the user's words.
    """
    return why.removeprefix(STATED) if why.startswith(STATED) else _WHY_FIRST.get(why, "")


def held_text(item: Item, held: Held, other: Item | None, today: date) -> str:
    """Return why something cannot be done now: one short sentence.

    Args:
        item: What cannot be done.
        held: Why.
        other: The item that is the reason, where it is not the item itself.
        today: The day by which days are named.
    """
    behind = f"behind: {numbered(other)}" if other else ""
    match held.code:
        case "unavailable":
            because = held.unavailable or Unavailable("away")
            return f"waits for: {unavailable_text(other or item, because, today)}"
        case "milestone":
            return f"first: {MILESTONE_TEXTS.get(held.other, held.other)}"
        case "height":
            return f"needs the vehicle {HEIGHT_TEXT[held.need]}"
        case "people":
            return f"needs {_NUMBERS.get(held.need, held.need)} people"
        case "minutes":
            return f"takes {held.need} minutes, you have {held.have}"
        case _:
            return ", ".join(said for said in (behind, _HELD_BY.get(held.code, "")) if said)


def unavailable_text(item: Item, unavailable: Unavailable, today: date) -> str:
    """Return what an item waits for, to stand after «waits for: », with its day."""
    whom = f" at {unavailable.at_whom}" if unavailable.at_whom else ""
    said = {
        "away": f"{item_title(item)}{whom or ', in treatment'}",
        "soak": unavailable.what or "the soak",
        "undecided": "a decision: what becomes of it?",
        "ordered": f"{unavailable.what}, ordered{whom}",
        "to get": f"{unavailable.what}, to be got",
    }[unavailable.category]
    return f"{said}, due {day_text(unavailable.due, today)}" if unavailable.due else said


def whereabouts_text(away: Outstanding) -> str:
    """Return where a thing is that is away."""
    return f"at {away.at_whom}" if away.at_whom else "on your own bench"


def away_text(away: Outstanding, today: date) -> str:
    """Return where a thing is that is away, and until when."""
    where = whereabouts_text(away)
    if not away.due:
        return where
    overdue = "overdue since" if away.is_overdue(today) else "due"
    return f"{where}, {overdue} {day_text(away.due, today)}"


def skips_text(items: Sequence[Item]) -> str:
    """Return what doing something now would skip: the count, and the first three by number."""
    named = ", ".join(f"#{item.number}" if item.number else f"«{item.name}»" for item in items[:3])
    return f"skips {len(items)} earlier: {named}{', …' if len(items) > 3 else ''}"  # noqa: PLR2004 - those shown


def deviation_text(deviation: Deviation, other: str) -> str:
    """Return where an item leaves the plain reverse, and why.

    Args:
        deviation: What leaves it.
        other: The name of the item or step that it follows or is done in.
    """
    because = deviation.reason or _WHY_MOVED.get(deviation.why, "")
    link = " because" if deviation.what == "moved" and because else ""
    return _DEPARTURES[deviation.what].format(other) + link + (f": {because}" if because else "")
