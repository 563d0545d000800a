"""Milestones of a build, short to write: each by default in sight of all before it."""

from collections.abc import Iterable
from typing import Any

from app.core.items.journal import Line
from app.core.phases.phases import Phases, fold_phases
from app.core.phases.units import Units, usual_units

BUILD = "build:1"


def tell(
    line_id: str, verb: str, *units: str, after: Iterable[str] = (), person: str = "Ada", **body: Any
) -> Line:
    return Line(line_id, BUILD, verb, {"units": list(units), **body}, frozenset(after), person)


def row(*said: str) -> list[Line]:
    """Lines such as "rise old gearbox", one after the other; "trial", "before" and "to=…" go with a verb."""
    lines: list[Line] = []
    for nth, each in enumerate(said):
        verb, *rest = each.split()
        body: dict[str, Any] = {}
        if "trial" in rest:
            body["trial"] = True
        if "before" in rest:
            body["before_record"] = True
        if to := [word[3:] for word in rest if word.startswith("to=")]:
            body["to"] = to[0]
        units = [word for word in rest if word not in {"trial", "before"} and "=" not in word]
        after = [lines[-1].id] if lines else []
        if verb == "undo":
            lines.append(Line(f"{nth:02d}", BUILD, "undo", {"line": units[0]}, frozenset(after), "Ada"))
        else:
            lines.append(tell(f"{nth:02d}", verb, *units, after=after, **body))
    return lines


SWAP = usual_units(new_engine=True)
SAME = usual_units()
OUT = ("hook_up old", "rise old", "set_down old")


def fold(*said: str, units: Units = SWAP) -> Phases:
    return fold_phases(units, row(*said))


def codes(phases: Phases) -> list[str]:
    return [each.code for each in phases.untrue]
