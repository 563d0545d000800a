"""US or UK words on the page: the build's switch, applied to what is shown and never to what is stored."""

import json
import re
from collections.abc import Iterable
from datetime import datetime
from functools import cache, lru_cache
from typing import Any

from flask import g

from app.core.builds.snapshot import Entry
from app.core.items.kinds import Kind
from app.core.us_uk import Dialect, to_dialect
from app.store.db.files import bundled

_UNIT_GAP = re.compile(r"(?<=[0-9]) (?=N|lb|kgf|in|ft)|(?<=\+) ")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")


@cache
def _pairs() -> tuple[tuple[str, str], ...]:
    table = json.loads((bundled("seed_data") / "words_us_uk.json").read_text(encoding="utf-8"))
    return tuple((us, uk) for us, uk in table["pairs"])


@cache
def _cautions() -> dict[str, Any]:
    table = json.loads((bundled("seed_data") / "cautions.json").read_text(encoding="utf-8"))
    return dict(table["cautions"])


def in_dialect(text: str) -> str:
    """Return a text in the words of the build that is shown."""
    build = g.get("build")
    return _spoken(text, build.dialect) if build and text else text


@lru_cache(maxsize=8192)
def _spoken(text: str, dialect: Dialect) -> str:
    """Return a text in one side's words: rows of a long page say the same few things."""
    return to_dialect(text, dialect, _pairs())


def sign_of(entry: Entry) -> tuple[str, str]:
    """Return which sign is drawn beside a state: that state and kind; a step to come is an outline."""
    kind = entry.item.kind
    if kind is Kind.STEP and entry.state_key == "on":
        return "off", Kind.FASTENER.value
    return entry.state_key, kind.value


def unbroken(text: str) -> str:
    """Return a printed torque so that no line ends between a number and its unit, or after a plus."""
    return _UNIT_GAP.sub("\N{NO-BREAK SPACE}", text)


def when(text: str) -> str:
    """Return a stored time as a person reads it, in this computer's zone; what is no time stays as it is."""
    try:
        at = datetime.fromisoformat(text).astimezone()
    except ValueError:
        return text
    return f"{at.day} {_MONTHS[at.month - 1]} {at.year}, {at:%H:%M}"


def cautions(keys: Iterable[str]) -> list[dict[str, str]]:
    """Return the cautions of a step, in its order; a key that this program does not know is passed over."""
    return [_cautions()[key] for key in keys if key in _cautions()]
