"""The stages of a fastener group as the card lists them: what is done, what is next, with which wrench."""

from dataclasses import dataclass

from app.core.builds.snapshot import Entry
from app.core.items.items import Fastener
from app.core.items.kinds import Act
from app.core.tightening.stages import TighteningStage, stage_reached, stages_of
from app.web.cards.wrench_view import StageLine, WrenchLines


@dataclass(frozen=True, slots=True)
class StageRow:
    """One stage.

    Args:
        stage: What is done.
        at: `done`, `next` (its button is offered now) or `later`.
        line: What to set on which wrench; `None` where there are no wrenches.
    """

    stage: TighteningStage
    at: str
    line: StageLine | None


def stage_rows(entry: Entry, settings: WrenchLines | None) -> tuple[StageRow, ...]:
    """Return the stages of a group, first to last; none for what is no group or has a single stage.

    Args:
        entry: The group as it stands.
        settings: What the card says about wrenches.
    """
    group = entry.item.detail
    stages = stages_of(group) if isinstance(group, Fastener) else ()
    if not isinstance(group, Fastener) or len(stages) == 1:
        return ()
    reached = stage_reached(group, entry.state)
    ahead = entry.rungs_ahead
    offered = ahead[0].stage if ahead and ahead[0].act in {Act.STAGE, Act.TIGHT} else None
    lines = settings.stages if settings and settings.stages else (None,) * len(stages)
    return tuple(
        StageRow(stage, "done" if stage.number <= reached else "next" if stage == offered else "later", line)
        for stage, line in zip(stages, lines, strict=True)
    )
