"""How much came out of a system and how much went in, and whether that needs an answer."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from app.core.items.bodies.rules import MOST_LITRES, is_amount
from app.core.items.journal import History, Line
from app.core.items.kinds import Act, Kind, rung
from app.core.problem import Problem

LEAST_SHARE = 0.8
"""Filled below this share of what was drained is asked about (common practice)."""
_PLAIN = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{1,3})?")


@dataclass(frozen=True, slots=True)
class Amounts:
    """What a system's lines say of this round, [l]; `None` where nobody measured.

    `answered`: somebody said, by name, having seen all of these amounts, that they are right.
    """

    drained: float | None = None
    filled: float | None = None
    answered: bool = False

    @property
    def asks(self) -> bool:
        """Whether so much less was filled than drained that somebody must say whether it is right."""
        if self.drained is None or self.filled is None or self.answered:
            return False
        return self.filled < LEAST_SHARE * self.drained - 1e-9


def read_litres(typed: str) -> float | Problem:
    """Return an amount typed as a plain number, such as `4.6` or `4,6` [l]."""
    text = typed.strip()
    value = float(text.replace(",", ".")) if _PLAIN.fullmatch(text) else 0.0
    if is_amount(value):
        return value
    return Problem(
        "litres", f"Type the litres as a number above 0, up to {MOST_LITRES:g}, such as 4.6.", "litres"
    )


def amounts_of(history: History) -> Amounts:
    """Return how much came out and went in since it was last opened.

    Amounts that follow each other add up (a second pan, a top-up). Of amounts whose writers had not seen
    each other the one counts that makes somebody look: the larger drained, the smaller filled.
    """
    said = [line for line in history.in_force if line.record.litres is not None]
    if not said:
        return Amounts()
    again = _opened_again(history)
    here = [line for line in said if not any(o.id != line.id and history.saw(o.id, line.id) for o in again)]
    out = _sums(history, (line for line in here if _side(line) == "drained"))
    into = _sums(history, (line for line in here if _side(line) == "filled"))
    answers = (line for line in history.in_force if line.record.amounts == "right" and line.person)
    answered = any(all(history.saw(a.id, line.id) for line in here) for a in answers)
    return Amounts(max(out, default=None), min(into, default=None), answered)


def _side(line: Line) -> str:
    """Return whether an amount came out or went in: as the line says, or as its act does."""
    act = line.record.of or line.record.act or ""
    return "drained" if act == Act.DRAINED else "filled"


def _opened_again(history: History) -> list[Line]:
    """Return the lines that opened it after it had been filled."""
    marks = [line for line in history.in_force if line.record.act is not None]
    up = [line for line in marks if line.record.act and rung(Kind.FLUID, line.record.act) > 0]
    opening = [line for line in marks if line.record.act is Act.DRAINED]
    return [line for line in opening if any(history.saw(line.id, u.id) for u in up)]


def _sums(history: History, lines: Iterable[Line]) -> list[float]:
    """Return for each newest line the sum of it and the largest that it had seen."""
    some = list(lines)
    sums: dict[str, float] = {}
    for line in some:
        before = [sums[other.id] for other in some if other.id in sums and history.saw(line.id, other.id)]
        sums[line.id] = round((line.record.litres or 0.0) + max(before, default=0.0), 3)
    return [sums[line.id] for line in history.heads(some)]
