"""Coming back after weeks or years: where work stopped, what stands half done, what has aged."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.core.items.bodies.gates import Stop as StopBody
from app.core.items.journal import History, Line
from app.core.items.kinds import Act
from app.core.ledger.ledger import L

PAUSE = timedelta(hours=12)
"""After so long without a line somebody comes back rather than goes on (common practice)."""

LOUD = frozenset({"aside", "hand_tight", "loosened", "disagree"})
HALF_DONE = frozenset({"placed", "stage", "seated", "latched", "filled"})
_DAYS_PER_MONTH = 30.44


@dataclass(frozen=True, slots=True)
class Stop:
    """Somebody said "stopped here", perhaps with a note."""

    line: str
    person: str
    at: str
    note: str = ""
    seq: int = 0


def stops(lines: Iterable[Line]) -> tuple[Stop, ...]:
    """Return the stops in force among a build's lines, newest first."""
    in_force = sorted(History(lines).in_force, key=lambda line: line.seq, reverse=True)
    return tuple(
        Stop(line.id, line.person, line.at, said.note or "", line.seq)
        for line in in_force
        if isinstance(said := line.record, StopBody)
    )


def comes_back(newest: Line | None, now: datetime) -> bool:
    """Tell whether work is taken up again: the newest line is a stop, or it is long ago."""
    if newest is None:
        return False
    at = moment(newest.at)
    return newest.verb == "stop" or (at is not None and now - at > PAUSE)


def moment(text: str) -> datetime | None:
    """Return a moment from its stored form; `None` where a phone's clock wrote something else."""
    try:
        read = datetime.fromisoformat(text)
    except ValueError:
        return None
    return read if read.tzinfo else None


def how_long(span: timedelta) -> str:
    """Return a span as a person says it: "12 minutes", "3 weeks", "14 months"."""
    days = span.total_seconds() / 86400
    for size, name in (
        (365.25, "year"),
        (_DAYS_PER_MONTH, "month"),
        (7, "week"),
        (1, "day"),
        (1 / 24, "hour"),
    ):
        if days >= 2 * size or (days >= size and name in {"day", "hour"}):
            n = int(days / size)
            return f"{n} {name}" + ("s" if n > 1 else "")
    minutes = max(0, int(days * 1440))
    return f"{minutes} minute" + ("" if minutes == 1 else "s")


def half_done(lines: Iterable[tuple[str, L]]) -> tuple[tuple[L, ...], tuple[L, ...]]:
    """Return what is loud (aside, hand-tight, loosened, disputed) and what else is half done.

    Args:
        lines: The open lines, each with its state's word.
    """
    known = tuple(lines)
    loud = tuple(line for word, line in known if word in LOUD or _some_hand_tight(line))
    half = tuple(line for word, line in known if word in HALF_DONE and line not in loud)
    return loud, half


def _some_hand_tight(line: L) -> bool:
    return any(p.act in {Act.HAND_TIGHT, Act.ASIDE} for p in line.state.positions)


@dataclass(frozen=True, slots=True)
class Ageing:
    """What ages while a vehicle stands: after so many months, and what to do about it."""

    key: str
    months: float
    what: str
    do: str
    source: str


def read_ageing(stored: Mapping[str, str | float]) -> Ageing:
    """Return one entry from its stored form."""
    return Ageing(
        str(stored["key"]),
        float(stored["months"]),
        str(stored["what"]),
        str(stored["do"]),
        str(stored["source"]),
    )


def aged(entries: Iterable[Ageing], stood: timedelta) -> tuple[Ageing, ...]:
    """Return what has aged in the time that the vehicle stood, the soonest first."""
    months = stood.total_seconds() / 86400 / _DAYS_PER_MONTH
    return tuple(sorted((each for each in entries if each.months <= months), key=lambda each: each.months))
