"""The ladder of a thing as its card draws it: every rung with its sign, and where the thing stands."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.core.builds.snapshot import Entry
from app.core.items.items import Fastener
from app.core.items.kinds import Act, Kind, rung, rungs
from app.core.ledger.ledger import needs
from app.core.tightening.stages import stage_reached, stages_of
from app.core.wording.items import act_text, state_text


@dataclass(frozen=True, slots=True)
class LadderRung:
    """One rung.

    Args:
        sign: Which sign is drawn, see the macros of the signs.
        kind: The kind whose signs these are.
        words: What it is called here.
        at: `done`, `now` (the thing stands there) or `later`.
    """

    sign: str
    kind: str
    words: str
    at: str


def ladder(entry: Entry) -> tuple[LadderRung, ...]:
    """Return the rungs of a thing from open to closed; the state alone where it goes up no ladder.

    A state beside the ladder, such as `aside`, stands in the place of the first rung. What is left out, what
    stays on the old engine and what two people see differently has no rungs.
    """
    key, kind = entry.state_key, entry.item.kind
    if key not in {"on", *(act.value for act in Act)} or key == Act.UNUSED:
        return (LadderRung(key, kind.value, state_text(entry.item, key), "now"),)
    acts = _acts(entry)
    here = rung(kind, Act(key)) if key != "on" else -1
    return tuple(_rungs(entry, acts, here))


def _acts(entry: Entry) -> tuple[Act, ...]:
    """Return the rungs that this thing has: no bleeding without air, no stages of a single torque."""
    item = entry.item
    stages = len(stages_of(item.detail)) if isinstance(item.detail, Fastener) else 0
    top = max(rung(item.kind, needs(item)), rung(item.kind, Act(entry.state_key)) if _is_act(entry) else 0)
    known = rungs(item.kind, bleeds=item.bleeds, stages=max(0, stages - 1))
    return tuple(act for act in known if rung(item.kind, act) <= top)


def _is_act(entry: Entry) -> bool:
    return entry.state_key != "on"


def _rungs(entry: Entry, acts: tuple[Act, ...], here: int) -> Iterator[LadderRung]:
    item = entry.item
    for act in acts:
        at = rung(item.kind, act)
        stands = at == here or (at == 0 and here < 0)
        sign, words = act.value, _words(entry, act)
        if stands and entry.state_key != act.value:
            sign, words = entry.state_key, state_text(item, entry.state_key)
        if item.kind is Kind.STEP and sign == "on":
            sign, words, stands = act.value, _words(entry, act), False
        yield LadderRung(sign, item.kind.value, words, "now" if stands else "done" if at < here else "later")


def _words(entry: Entry, act: Act) -> str:
    """Return what a rung is called, short: stages by how many were done."""
    group = entry.item.detail
    if act is Act.CHECKED:
        return "checked"
    if act is Act.STAGE and isinstance(group, Fastener):
        return f"stage {stage_reached(group, entry.state)} of {len(stages_of(group))}"
    return act_text(entry.item, act)
