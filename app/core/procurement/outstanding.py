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
    outstanding: Outstanding, today: date, *, before: Outstanding | None = None
) -> tuple[Problem, ...]:
    """Return what is wrong with it, field by field: `what`, `need`, `since`, `due` or `count`.

    A day that was right when it was written may pass: it is looked at again only where it is another now.

    Args:
        outstanding: As it is to be written.
        today: The day on the owner's calendar.
        before: As it was, `None` for a new one.
    """
    found: list[Problem | None] = []
    if outstanding.category == "get" and outstanding.need == "other" and not outstanding.what:
        found.append(Problem("what", "Say what is to be got.", "what"))
    if outstanding.category == "away" and outstanding.need not in TREATMENTS:
        found.append(Problem("need", "Choose what is done to it.", "need"))
    if not 1 <= outstanding.count <= MOST:
        found.append(Problem("count", f"A count from 1 to {MOST}.", "count"))
    if outstanding.since and (before is None or outstanding.since != before.since):
        found.append(future_problem(outstanding.since, today, "since"))
    if outstanding.due and (before is None or outstanding.due != before.due):
        found.append(past_problem(outstanding.due, today, "due"))
    if outstanding.due and outstanding.since and outstanding.due < outstanding.since:
        found.append(Problem("due-before", "It cannot be due before it went.", "due"))
    return tuple(problem for problem in found if problem)


def overdue_first(known: Iterable[Outstanding], today: date) -> tuple[Outstanding, ...]:
    """Return what is outstanding by its day: the overdue ones first, then by day, those without one last."""
    return tuple(
        sorted(
            known,
            key=lambda w: (not w.is_overdue(today), w.due or date.max, w.since or date.max, w.id),
        )
    )


def prices(known: Iterable[Outstanding]) -> tuple[Money, ...]:
    """Return the sum of the prices, one for each currency."""
    return total(outstanding.price for outstanding in known if outstanding.price)


def unavailable_because(
    *, undecided: bool, known: Iterable[Outstanding], wanted: Iterable[str]
) -> Unavailable | None:
    """Return what an item waits for, the longest first; `None` where it waits for nothing of the kind.

    Args:
        undecided: Whether nobody has decided what becomes of it.
        known: What is outstanding about it.
        wanted: What it needs and nobody has ordered, in words.
    """
    here = list(known)
    for category in ("away", "soak"):
        if found := [outstanding for outstanding in here if outstanding.category == category]:
            return _last(category, found)
    if undecided:
        return Unavailable("undecided")
    gets = [outstanding for outstanding in here if outstanding.category == "get"]
    missing = [*wanted, *(outstanding.what for outstanding in gets if outstanding.since is None)]
    if missing:
        return Unavailable("to get", what=missing[0])
    return _last("ordered", gets) if gets else None


def _last(category: str, known: Iterable[Outstanding]) -> Unavailable:
    last = max(known, key=lambda w: (w.due or date.max, w.id))
    return Unavailable(category, last.at_whom, last.due, last.what)
