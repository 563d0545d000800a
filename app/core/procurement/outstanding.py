"""What the work waits for: a thing away, a thing to get, a soak, a core to return, a thing for sale."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from app.core.days import future_problem, past_problem
from app.core.money import Money, total
from app.core.problem import Problem

CATEGORIES = ("away", "get", "soak", "core", "sale")
"""`away`: treated by somebody; `get`: to be bought; `soak`: left to work; `core`, `sale`: it leaves."""

TREATMENTS = ("clean", "refurbish", "machine", "adapt")
MOST = 9999


@dataclass(frozen=True, slots=True)
class Outstanding:
    """One thing that is waited for.

    Args:
        id: 32 hexadecimal digits.
        subject: `item:…`, or `build:…` for what belongs to no item.
        category: One of `CATEGORIES`.
        need: Of `get` `pieces`, `seal`, `replacement`, `fluid`, `lost` or `other`, with ` n` behind it in the
            n-th round; of `away` one of `TREATMENTS`.
        what: What is asked or wanted, in words.
        at_whom: The shop or person; empty where nobody has it.
        since: Away since, ordered on, soaking since; `None` where it is only wanted.
        due: When it is to be here, or to be gone.
        price: What it costs or brings, all pieces together.
        count: How many pieces, 1 or more.
        done_on: When it was back, here, returned or sold.
        rev: Counts its changes.
    """

    id: str
    subject: str
    category: str
    need: str = ""
    what: str = ""
    at_whom: str = ""
    since: date | None = None
    due: date | None = None
    price: Money | None = None
    count: int = 1
    done_on: date | None = None
    rev: int = 1

    @property
    def item_id(self) -> str:
        """The item it is about; empty where it is about none."""
        subject_type, _, subject_id = self.subject.partition(":")
        return subject_id if subject_type == "item" else ""

    @property
    def is_open(self) -> bool:
        """Whether it is still waited for."""
        return self.done_on is None

    def is_overdue(self, today: date) -> bool:
        """Tell whether its day is over and it is still waited for."""
        return self.is_open and self.due is not None and self.due < today


class Unavailable(NamedTuple):
    """What one item waits for: `category` is `away`, `soak`, `undecided`, `ordered` or `to get`."""

    category: str
    at_whom: str = ""
    due: date | None = None
    what: str = ""


def outstanding_problems(
    wait: Outstanding, today: date, *, before: Outstanding | None = None
) -> tuple[Problem, ...]:
    """Return what is wrong with a wait, field by field: `what`, `need`, `since`, `due` or `count`.

    A day that was right when it was written may pass: it is looked at again only where it is another now.

    Args:
        wait: As it is to be written.
        today: The day on the owner's calendar.
        before: As it was, `None` for a new one.
    """
    found: list[Problem | None] = []
    if wait.category == "get" and wait.need == "other" and not wait.what:
        found.append(Problem("what", "Say what is to be got.", "what"))
    if wait.category == "away" and wait.need not in TREATMENTS:
        found.append(Problem("need", "Choose what is done to it.", "need"))
    if not 1 <= wait.count <= MOST:
        found.append(Problem("count", f"A count from 1 to {MOST}.", "count"))
    if wait.since and (before is None or wait.since != before.since):
        found.append(future_problem(wait.since, today, "since"))
    if wait.due and (before is None or wait.due != before.due):
        found.append(past_problem(wait.due, today, "due"))
    if wait.due and wait.since and wait.due < wait.since:
        found.append(Problem("due-before", "It cannot be due before it went.", "due"))
    return tuple(problem for problem in found if problem)


def overdue_first(waits: Iterable[Outstanding], today: date) -> tuple[Outstanding, ...]:
    """Return waits by their day: the overdue ones first, then by day, those without one last."""
    return tuple(
        sorted(waits, key=lambda w: (not w.is_overdue(today), w.due or date.max, w.since or date.max, w.id))
    )


def prices(waits: Iterable[Outstanding]) -> tuple[Money, ...]:
    """Return the sum of the prices, one for each currency."""
    return total(wait.price for wait in waits if wait.price)


def unavailable_because(
    *, undecided: bool, waits: Iterable[Outstanding], wanted: Iterable[str]
) -> Unavailable | None:
    """Return what an item waits for, the longest wait first; `None` where it waits for nothing of the kind.

    Args:
        undecided: Whether nobody has decided what becomes of it.
        waits: The open waits about it.
        wanted: What it needs and nobody has ordered, in words.
    """
    here = list(waits)
    for category in ("away", "soak"):
        if found := [wait for wait in here if wait.category == category]:
            return _last(category, found)
    if undecided:
        return Unavailable("undecided")
    gets = [wait for wait in here if wait.category == "get"]
    missing = [*wanted, *(wait.what for wait in gets if wait.since is None)]
    if missing:
        return Unavailable("to get", what=missing[0])
    return _last("ordered", gets) if gets else None


def _last(category: str, waits: Iterable[Outstanding]) -> Unavailable:
    last = max(waits, key=lambda w: (w.due or date.max, w.id))
    return Unavailable(category, last.at_whom, last.due, last.what)
