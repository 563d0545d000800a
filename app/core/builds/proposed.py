"""What seems to have been before milestones were written down: asked once, never taken for told."""

from collections.abc import Mapping

from app.core.builds.snapshot import Snapshot
from app.core.gates.gates import GateFacts
from app.core.phases.milestones import MILESTONE_VERBS, Verb
from app.core.phases.proposed import Proposal, propose_milestones


def proposals(build: Snapshot, told: Mapping[str, GateFacts]) -> tuple[Proposal, ...]:
    """Return the milestones that starts, passes and marks speak of; none once any was told, or it was asked.

    Args:
        build: As it stands.
        told: What each gate was told, by its key.
    """
    verbs = {line.verb for line in build.milestones} & MILESTONE_VERBS - {Verb.TURN.value}
    if not build.swap.is_said or build.swap.is_asked or verbs:
        return ()
    return propose_milestones(
        build.sides,
        build.barriers,
        ((entry.item, entry.state) for entry in build.items),
        passes={key for key, facts in told.items() if facts.passes},
        started=bool(told["start"].starts),
    )
