"""What a form says was reached on a bolt: a setting that clicked, a value that was read, a turn, by feel."""

import json
from decimal import Decimal
from math import isfinite
from typing import Any

from app.core.intake.fields import Fields
from app.core.problem import Problem
from app.core.torque.acts import Told
from app.core.torque.text import parse_torque
from app.core.torque.units import plain, sensible

MISSING = Problem(
    "reached-missing", "Type the value that the wrench showed, or say that it was done by feel.", "reached"
)
_LONGEST_NAME = 80
_DIGITS = Decimal("1.00")


def reached_body(fields: Fields) -> dict[str, Any] | Problem:
    """Return what was reached, with how that is known; nothing where the form says nothing of it.

    `way` names how it is known, as a list: `clicked`, wrench, setting, unit, factor, adapter; `read`; `marks`
    and the degrees; `gauge`; `feel`. What was read stands in `reached`, and on what in `tool`: wrench, unit,
    factor, adapter. The factor is what an adapter makes of a wrench's setting, [-]. Pages of earlier versions
    send a value with its unit, or `by_feel`.
    """
    value = fields.get("reached").strip()
    if "way" in fields:
        return _by_way(_list(fields.get("way")), value, fields)
    if fields.get("by_feel"):
        return {"reached": Told.FEEL.value}
    if not value:
        return MISSING if "reached" in fields else {}
    return _checked(f"{value} {fields.get('reached_unit')}".strip(), {})


def _by_way(way: list[Any], value: str, fields: Fields) -> dict[str, Any] | Problem:
    match way:
        case ["clicked", str(wrench), str(setting), str(unit), float() | int() as factor, str(adapter)]:
            return _on_wrench(setting, unit, factor, _named(wrench, adapter, Told.CLICKED))
        case ["marks", str(degrees)]:
            return _checked(f"{degrees}°", {"told": Told.MARKS.value})
        case ["gauge"]:
            return _checked(f"{value}°", {"told": Told.GAUGE.value}) if value else MISSING
        case ["feel"]:
            return {"reached": Told.FEEL.value, "told": Told.FEEL.value}
        case ["read"]:
            return _read(value, _list(fields.get("tool"))) if value else MISSING
    return Problem("way", "How it was reached cannot be read. Mark it again on a fresh page.", "reached")


def _read(value: str, tool: list[Any]) -> dict[str, Any] | Problem:
    match tool:
        case [str(wrench), str(unit), float() | int() as factor, str(adapter)]:
            return _on_wrench(value, unit, factor, _named(wrench, adapter, Told.READ))
    return Problem("tool", "Choose what it was read on.", "tool")


def _named(wrench: str, adapter: str, told: Told) -> dict[str, Any]:
    named = f"{wrench} with {adapter}" if adapter else wrench
    return {"told": told.value} | ({"wrench": named[:_LONGEST_NAME]} if named else {})


def _on_wrench(shown: str, unit: str, factor: float, said: dict[str, Any]) -> dict[str, Any] | Problem:
    """Return what a wrench's own figure gives at the bolt: the same, unless an adapter is on it."""
    read = _checked(f"{shown} {unit}", said)
    if factor == 1 or isinstance(read, Problem):
        return read
    number = parse_torque(f"{shown} {unit}")
    if not isfinite(factor) or factor <= 0 or isinstance(number, Problem) or not number.final:
        return Problem("tool", "What the adapter makes of it cannot be read. Open the card again.", "tool")
    torque = number.final.torque
    at_bolt = sensible(torque.target.value / Decimal(factor), printed=_DIGITS) if torque else Decimal(0)
    return _checked(f"{plain(at_bolt)} {unit}", said | {"setting": f"{shown} {unit}"})


def _checked(text: str, rest: dict[str, Any]) -> dict[str, Any] | Problem:
    """Return a value with the rest of what is said of it; what is no torque and no turn is refused."""
    read = parse_torque(text)
    return (
        Problem(read.code, read.message, "reached") if isinstance(read, Problem) else {"reached": text} | rest
    )


def _list(text: str) -> list[Any]:
    try:
        found = json.loads(text)
    except ValueError:
        return []
    return found if isinstance(found, list) else []
