"""The act of tightening: what is stored for each way of knowing that a torque or a turn was reached.

A click wrench says its setting and no more; a pointer or a display gives a value that is typed; a turn is
told by marks or a gauge; by feel is said so. Nothing is stored as a value that was not read.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from app.core.problem import Problem
from app.core.torque.reached import reached_problem
from app.core.torque.text import figure
from app.core.torque.units import Quantity, TorqueUnit
from app.core.torque.values import Stage, StageKind
from app.core.torque.wrench_classes import WrenchType
from app.core.torque.wrenches import Setting


class Told(StrEnum):
    """How it is known what was reached."""

    CLICKED = "clicked"
    READ = "read"
    MARKS = "marks lined up"
    GAUGE = "angle gauge"
    FEEL = "by feel"


TYPED = frozenset({WrenchType.BEAM, WrenchType.DIAL, WrenchType.DIGITAL})
"""Wrenches whose value is typed."""


@dataclass(frozen=True, slots=True)
class Reached:
    """What is stored about one stage of one fastener.

    Args:
        told: How it is known.
        value: The setting that clicked or the value that was read; `None` for a turn and by feel.
        degrees: The turn, [°]; `None` for a torque and by feel.
    """

    told: Told
    value: Quantity | None = None
    degrees: Decimal | None = None


def ways_of(stage: Stage, setting: Setting | None) -> tuple[Told, ...]:
    """Return how a stage can be told with a wrench, the usual way first; by feel is always there, last.

    Args:
        stage: What is to be done.
        setting: The wrench that was taken, if any, and what it was set to.
    """
    if stage.kind in {StageKind.ANGLE, StageKind.LOOSEN}:
        return (Told.MARKS, Told.GAUGE, Told.FEEL)
    if stage.torque is None or setting is None or setting.wrench.type is WrenchType.ANGLE:
        return (Told.FEEL,)
    return (Told.READ if setting.wrench.type in TYPED else Told.CLICKED, Told.FEEL)


def button_text(setting: Setting) -> str:
    """Return what the one tap of a click wrench says: `Clicked at 80 lb·in`; empty for any other wrench."""
    if setting.wrench.type is not WrenchType.CLICK:
        return ""
    return f"Clicked at {setting.shown.value:f} {setting.shown.unit}"


def clicked(setting: Setting) -> Reached | Problem:
    """Return what one tap stores: the setting, never a value that somebody read."""
    if setting.wrench.type is not WrenchType.CLICK:
        return Problem("no-click", f"{setting.wrench.name} does not click: type what it showed.", "reached")
    return Reached(Told.CLICKED, setting.shown)


def read_value(stage: Stage, value: Decimal, unit: TorqueUnit) -> tuple[Reached, Problem | None]:
    """Return what a typed value stores, and what is wrong with it; it is stored in any case.

    Args:
        stage: The torque stage.
        value: What the pointer or display showed, in `unit`.
        unit: The unit of the wrench.
    """
    quantity = Quantity(value, unit)
    return Reached(Told.READ, quantity), reached_problem(stage, quantity)


def turned(stage: Stage, told: Told, degrees: Decimal | None = None) -> Reached | Problem:
    """Return what a turn stores: by marks the printed angle, by a gauge the one that it showed.

    Args:
        stage: A stage of turning or loosening.
        told: `MARKS` or `GAUGE`.
        degrees: What the gauge showed, [°]; with marks it is left out.
    """
    if stage.degrees is None:
        return Problem("no-turn", "No turn is printed for this stage.", "reached")
    if told is Told.MARKS:
        return Reached(told, degrees=stage.degrees.target)
    if told is not Told.GAUGE or degrees is None or degrees <= 0:
        return Problem("degrees-missing", "Type the angle that the gauge showed, above 0°.", "reached")
    return Reached(told, degrees=degrees)


def by_feel() -> Reached:
    """Return what is stored where nothing was measured."""
    return Reached(Told.FEEL)


def reached_text(reached: Reached) -> str:
    """Return what was stored as text, such as `clicked at 80 lb·in`, `25 N·m`, `90° by marks`, `by feel`."""
    if reached.value is not None:
        said = f"{figure(reached.value.value)} {reached.value.unit}"
        return f"clicked at {said}" if reached.told is Told.CLICKED else said
    if reached.degrees is not None:
        return f"{figure(reached.degrees)}° by {'marks' if reached.told is Told.MARKS else 'gauge'}"
    return Told.FEEL.value


def told_text(told: str, reached: str, setting: str = "") -> str:
    """Return what a line says of what was reached: `clicked at 80 lb·in`, `25 N·m`, `90° by marks`.

    Args:
        told: A value of `Told`; empty in lines of earlier versions.
        reached: What was reached at the bolt.
        setting: What the wrench was set to or showed, where an adapter makes that another value.
    """
    if told == Told.CLICKED:
        return f"clicked at {setting}, {reached} at the bolt" if setting else f"clicked at {reached}"
    if told == Told.READ and setting:
        return f"showed {setting}, {reached} at the bolt"
    ends = {Told.MARKS.value: " by marks", Told.GAUGE.value: " by gauge"}
    return f"{reached}{ends.get(told, '')}"
