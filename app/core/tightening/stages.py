"""The stages in which a fastener group is tightened: what the manual prints, or the passes to one figure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from app.core.items.items import Fastener, Item
from app.core.items.kinds import (
    Act,
    Kind,
    rung,
    rungs,
)
from app.core.items.state import ItemState, PositionState
from app.core.ledger.ledger import needs, next_act
from app.core.tightening.parsed import parsed
from app.core.tightening.sequence import DEFAULT_SHARES, pass_torques
from app.core.torque.bands import Band
from app.core.torque.text import format_torque
from app.core.torque.values import Stage, StageKind, Torque, TorqueSpec

_STAGE_RUNG = rung(Kind.FASTENER, Act.STAGE)


@dataclass(frozen=True, slots=True)
class TighteningStage:
    """One thing to do to every bolt of a group before the next thing.

    Args:
        number: From 1.
        of: How many there are.
        printed: What is done, as read from the print; a pass has the share of the printed torque.
        share: The share of the printed torque, [-]; 1 for what is printed itself.
    """

    number: int
    of: int
    printed: Stage
    share: float = 1.0

    @property
    def is_final(self) -> bool:
        """Whether nothing follows it."""
        return self.number == self.of

    @property
    def words(self) -> str:
        """What is done, short: `50 N·m`, `+ 90°`, `loosen 360°`, `new bolts in`."""
        match self.printed.kind:
            case StageKind.ANGLE:
                return "+ " + format_torque(TorqueSpec("", (self.printed,)))
            case StageKind.NEW_BOLT:
                return "new bolts in"
            case StageKind.SNUG:
                return "snug"
            case _:
                bare = replace(self.printed, check=False, others=())
                said = format_torque(TorqueSpec("", (bare,)))
                return said if self.share == 1 else f"{said} ({100 * self.share:.0f} %)"


@lru_cache(maxsize=4096)
def stages_of(group: Fastener) -> tuple[TighteningStage, ...]:
    """Return the stages of a group, first to last; none where its torque is missing or cannot be read.

    A single printed torque is reached in the group's passes, whose shares are `DEFAULT_SHARES`; several
    printed stages stand as they are. What is only felt or measured is no stage.
    """
    spec = parsed(group).torque
    if spec is None:
        return ()
    done = [stage for stage in spec.stages if not stage.check]
    if len(done) == 1 and done[0].torque and group.passes in DEFAULT_SHARES:
        return _passes(done[0], done[0].torque, DEFAULT_SHARES[group.passes])
    return tuple(TighteningStage(number, len(done), stage) for number, stage in enumerate(done, start=1))


def _passes(printed: Stage, torque: Torque, shares: Sequence[float]) -> tuple[TighteningStage, ...]:
    reached = zip(shares, pass_torques(torque.band.target, shares), strict=True)
    return tuple(
        TighteningStage(
            number,
            len(shares),
            printed if share == 1 else Stage(StageKind.TORQUE, Torque(Band(value, value), torque.unit)),
            share,
        )
        for number, (share, value) in enumerate(reached, start=1)
    )


def stage_reached(group: Fastener, state: ItemState) -> int:
    """Return the number of the last stage that every bolt of a group has had, 0 before the first."""
    touched = [position for position in state.positions if position.act and position.piece != "spare"]
    return min((_reached(position, len(stages_of(group))) for position in touched), default=0)


def _reached(position: PositionState, stages: int) -> int:
    at = rung(Kind.FASTENER, position.act) if position.act else 0
    if at > _STAGE_RUNG:
        return stages
    return min(position.stage, max(0, stages - 1)) if at == _STAGE_RUNG else 0


@dataclass(frozen=True, slots=True)
class Rung:
    """One rung of an item's own ladder; a group's stages before the final one are rungs of their own."""

    act: Act
    stage: TighteningStage | None = None


def rungs_ahead(
    item: Item, state: ItemState, *, looks_again: bool = False, tightens_again: bool = False
) -> tuple[Rung, ...]:
    """Return the rungs from the next one to the top; none at the top, and where lines disagree.

    Args:
        item: The item.
        state: The fold of its lines.
        looks_again: Its second look is void: at the top it is taken again.
        tightens_again: It is tight, and only tightening it once more closes it; then that comes first.
    """
    stages = stages_of(item.detail) if isinstance(item.detail, Fastener) else ()
    first = next_act(item, state, stages=max(0, len(stages) - 1))
    if (
        tightens_again
        and (first is None or first is Act.CHECKED)
        and not any(p.disagree for p in state.positions)
    ):
        first = Act.TIGHT
    if first is None:
        return (Rung(Act.CHECKED),) if looks_again else ()
    acts = [
        act
        for act in rungs(item.kind, bleeds=item.bleeds)
        if rung(item.kind, first) <= rung(item.kind, act) <= rung(item.kind, needs(item))
    ]
    if item.kind is not Kind.FASTENER:
        return tuple(Rung(act) for act in acts)
    reached = stage_reached(item.detail, state) if isinstance(item.detail, Fastener) else 0
    before = [act for act in acts if rung(item.kind, act) < _STAGE_RUNG]
    after = [act for act in acts if rung(item.kind, act) > _STAGE_RUNG]
    inner = stages[reached:-1] if Act.TIGHT in after and not tightens_again else ()
    return (
        *(Rung(act) for act in before),
        *(Rung(Act.STAGE, stage) for stage in inner),
        *(Rung(act, stages[-1] if stages and act is Act.TIGHT else None) for act in after),
    )
