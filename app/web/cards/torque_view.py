"""How a printed torque is shown: its stages large, the print word for word, the rest small and marked so."""

from dataclasses import dataclass
from functools import lru_cache

from app.core.items.items import Fastener
from app.core.tightening.parsed import MOST_KEPT, parsed
from app.core.torque.text import (
    Stage,
    StageKind,
    TorqueSpec,
    TorqueUnit,
    format_torque,
    show_converted,
    show_torque,
)


@dataclass(frozen=True, slots=True)
class ShownStage:
    """One stage as it is set large.

    Args:
        joiner: What stands between it and the one before: `+` or `then`; empty for the first.
        lead: What stands before the figure: `min.`, `max.`, `turning torque`.
        value: The figure, or what is done in words.
        unit: Its unit, for the box; empty for what has none.
    """

    joiner: str
    lead: str
    value: str
    unit: str

    @property
    def text(self) -> str:
        """The stage in one line."""
        return " ".join(filter(None, (self.lead, self.value, self.unit)))


@dataclass(frozen=True, slots=True)
class TorqueView:
    """How a group's torque is shown.

    Args:
        stages: What is done, as read; none where the print cannot be read.
        print: What the manual prints, word for word and whole.
        chosen: The part of it that was chosen, where it gives several values; else empty.
        read_as: What it says in one canonical line; empty where it cannot be read.
        converted: The torques in another unit.
        note: Under which conditions it holds, as typed.
        source: Where it is printed.
        is_open_choice: Whether it gives several values and nobody has chosen one.
    """

    stages: tuple[ShownStage, ...]
    print: str
    chosen: str
    read_as: str
    converted: str
    note: str
    source: str
    is_open_choice: bool = False

    @property
    def line(self) -> str:
        """The stages in one line, as they are set large."""
        return " ".join(f"{stage.joiner} {stage.text}".strip() for stage in self.stages)

    @property
    def is_print(self) -> bool:
        """Whether what is set large is the print, word for word."""
        return self.line == " ".join(self.print.split())

    @property
    def said(self) -> str:
        """What stands beside the print: its reading, that no value of it is chosen, or that it has none."""
        if self.read_as:
            return f"read as {self.read_as}"
        return "no value chosen yet" if self.is_open_choice else "cannot be read"

    @property
    def is_long(self) -> bool:
        """Whether it is more than one torque with its turns."""
        return sum(1 for stage in self.stages if stage.unit or stage.joiner == "then") > 1


@lru_cache(maxsize=MOST_KEPT)
def view(group: Fastener) -> TorqueView:
    """Return how a group's torque is shown."""
    spec = parsed(group).torque
    return TorqueView(
        stages=_stages(spec) if spec else (),
        print=group.printed,
        chosen=group.torque if group.torque_print else "",
        read_as=format_torque(spec) if spec else "",
        converted=_in_another_unit(spec) if spec else "",
        note=group.torque_note,
        source=group.torque_source,
        is_open_choice=bool(group.torque_print and not group.torque),
    )


def _stages(spec: TorqueSpec) -> tuple[ShownStage, ...]:
    return tuple(_stage(stage, is_first=not at) for at, stage in enumerate(spec.stages))


def _stage(stage: Stage, *, is_first: bool) -> ShownStage:
    joiner = "" if is_first else "+" if stage.kind is StageKind.ANGLE else "then"
    lead = " ".join(filter(None, ("turning torque" if stage.check else "", str(stage.limit))))
    if stage.torque is None:
        bare = Stage(stage.kind, degrees=stage.degrees, limit=stage.limit)
        return ShownStage(joiner, "", format_torque(TorqueSpec("", (bare,))), "")
    value, _, unit = show_torque(stage.torque).rpartition(" ")
    return ShownStage(joiner, lead, value, unit)


def _in_another_unit(spec: TorqueSpec) -> str:
    """Return the torques of all stages in newton metres; what is printed in those, in pound-feet."""
    return ", then ".join(
        f"{stage.limit} {show_converted(stage.torque, _other(stage.torque.unit))}".strip()
        for stage in spec.stages
        if stage.torque is not None
    )


def _other(unit: TorqueUnit) -> TorqueUnit:
    return TorqueUnit.POUND_FOOT if unit is TorqueUnit.NEWTON_METRE else TorqueUnit.NEWTON_METRE
