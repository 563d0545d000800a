"""How the final stage of a group is said to be reached: one tap for a click, a value that was read, marks."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.core.items.items import Fastener
from app.core.problem import Problem
from app.core.tightening.stages import stages_of
from app.core.torque.acts import Told, button_text, ways_of
from app.core.torque.text import Stage, TorqueUnit
from app.core.torque.units import plain
from app.core.torque.wrench_classes import check_words
from app.core.torque.wrenches import Adapter, Setting, Wrench, adapter_setting, setting_text, settings_for

ANOTHER = "another wrench"
_UNITS = (
    TorqueUnit.NEWTON_METRE,
    TorqueUnit.POUND_FOOT,
    TorqueUnit.POUND_INCH,
    TorqueUnit.KILOGRAM_METRE,
    TorqueUnit.KILOGRAM_CENTIMETRE,
)
_MOST_CLICKS = 3


@dataclass(frozen=True, slots=True)
class Way:
    """One button.

    Args:
        label: What it says.
        value: What it sends, see `app.core.intake.reached`.
        detail: What stands beneath it: the wrench, and what its mark is off by.
    """

    label: str
    value: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Ways:
    """The buttons for what was reached, and the box for what was read.

    Args:
        first: The usual one: it is the large button.
        others: The further ones; by feel is the last.
        typed: What the box asks for.
        tools: What it can have been read on: what is sent, and what is shown; none for a turn.
        save: The button of the box, unless that is the first one.
    """

    first: Way
    others: tuple[Way, ...]
    typed: str
    tools: tuple[tuple[str, str], ...] = ()
    save: Way | None = None


FEEL = Way("By feel", json.dumps(["feel"]))
READ = Way("Save what it showed", json.dumps(["read"]))
GAUGE = Way("Save what the gauge showed", json.dumps(["gauge"]))


def ways(group: Fastener, owned: Sequence[Wrench], adapter: Adapter | None, today: date) -> Ways:
    """Return how the final stage of a group can be told.

    Args:
        group: Its torque and passes.
        owned: The wrenches in the drawer.
        adapter: What is on the wrench's square, if anything.
        today: The day by which a check is overdue.
    """
    stages = stages_of(group)
    final = stages[-1].printed if stages else None
    if final and Told.MARKS in ways_of(final, None):
        return _turns(final)
    found = settings_for(final.torque, owned, today, adapter, final.limit) if final and final.torque else ()
    fitting = () if isinstance(found, Problem) else found
    clicks = [_click(one, today) for one in fitting if final and Told.CLICKED in ways_of(final, one)][
        :_MOST_CLICKS
    ]
    unit = final.torque.unit if final and final.torque else TorqueUnit.NEWTON_METRE
    read = [one for one in fitting if final and Told.READ in ways_of(final, one)]
    tools = (*map(_tool, read), *_any_wrench(unit))
    if fitting and clicks and fitting[0].wrench not in {one.wrench for one in read}:
        return Ways(clicks[0], (*clicks[1:], FEEL), "Or the wrench showed", tools, READ)
    return Ways(READ, (*clicks, FEEL), "The wrench showed", tools)


def _turns(final: Stage) -> Ways:
    if final.degrees is None or final.degrees.low != final.degrees.high:
        return Ways(GAUGE, (FEEL,), "The angle gauge showed, °")
    degrees = plain(final.degrees.target)
    marks = Way(f"Marks lined up at {degrees}°", json.dumps(["marks", degrees]))
    return Ways(marks, (FEEL,), "Or the angle gauge showed, °", save=GAUGE)


def _click(one: Setting, today: date) -> Way:
    said = ["clicked", one.wrench.name, plain(one.shown.value), str(one.shown.unit), *_adapted(one)]
    overdue = check_words(one.wrench.checked_on, today)
    detail = " ".join(filter(None, (f"{_named(one)}: {setting_text(one)}.", overdue)))
    return Way(button_text(one), json.dumps(said, ensure_ascii=False), detail)


def _tool(one: Setting) -> tuple[str, str]:
    said = [one.wrench.name, str(one.wrench.unit), *_adapted(one)]
    return json.dumps(said, ensure_ascii=False), f"{_named(one)}, {one.wrench.unit}"


def _named(one: Setting) -> str:
    return f"{one.wrench.name} with {one.adapter.name}" if one.adapter else one.wrench.name


def _adapted(one: Setting) -> tuple[float, str]:
    """Return what the adapter makes of the wrench's figure, and its name; 1 without one."""
    if one.adapter is None:
        return 1.0, ""
    lever, adapter = one.wrench.lever_mm, one.adapter
    factor = adapter_setting(1.0, lever, adapter.length_mm, adapter.angle_deg)
    return (1.0, "") if isinstance(factor, Problem) else (factor, adapter.name)


def _any_wrench(first: TorqueUnit) -> list[tuple[str, str]]:
    units = dict.fromkeys([first, *_UNITS])
    said = {unit: json.dumps([ANOTHER, str(unit), 1, ""], ensure_ascii=False) for unit in units}
    return [(value, f"{ANOTHER}, {unit}") for unit, value in said.items()]
