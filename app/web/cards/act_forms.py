"""The next act of an item as a form: its rungs with their words, what each asks for, and what was seen."""

from collections.abc import Sequence
from typing import Any

from app.core.builds.gates import gate_round
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import Connection, Fastener, Item
from app.core.items.kinds import Act
from app.core.tightening.stages import Rung
from app.core.torque.values import StageKind
from app.core.torque.wrenches import Adapter, Wrench
from app.core.wording.items import rung_text
from app.store.db.clock import new_id
from app.store.db.models import Person
from app.web.cards.act_ways import Ways, ways
from app.web.cards.wrench_view import row_setting
from app.web.site.context import today
from app.web.site.who import person_choices


def act_form(
    entry: Entry,
    build: Snapshot,
    owned: Sequence[Wrench] = (),
    people: Sequence[Person] = (),
    *,
    adapter: Adapter | None = None,
    me: str = "",
) -> dict[str, Any]:
    """Return what the act form needs.

    Args:
        entry: The item as it stands.
        build: Its build.
        owned: The user's wrenches.
        people: Who can have done it.
        adapter: What is on the wrench's square, if anything.
        me: The id of the person of this device.
    """
    item = entry.item
    doers = sorted({p.person for p in entry.state.positions if p.person})
    ahead = entry.rungs_ahead
    upcoming = ahead[0] if ahead else None
    group = item.detail if isinstance(item.detail, Fastener) else None
    second_look = bool(upcoming and upcoming.act is Act.CHECKED)
    choices = person_choices(people, me, doers, bars_doers=second_look)
    found = ways(group, owned, adapter, today()) if group else None
    return {
        "next": upcoming.act.value if upcoming else "",
        "stage": upcoming.stage.number if upcoming and upcoming.stage else 0,
        "words": _next_text(item, upcoming, build) if upcoming else "",
        "asks": asks(item, upcoming) if upcoming else (),
        "rungs": [_rung(item, rung, found) for rung in ahead],
        "asked_on_the_way": frozenset(what for rung in ahead for what in asks(item, rung)),
        "second_look": second_look,
        "round": gate_round(build),
        "doers": doers,
        "who": choices,
        "closing": "" if upcoming else closing_text(entry),
        "after": list(entry.state.tips),
        "line_id": new_id(),
        "subject": entry.subject,
        "build": build.id,
        "ways": found,
        "setting": row_setting(upcoming.stage if upcoming else None, owned, today()),
        "positions": [p.n for p in entry.state.positions] if item.n or item.positions > 1 else [],
    }


def closing_text(entry: Entry) -> str:
    """Return what stands where no act of the item's own is left."""
    if entry.state_key == "disagree":
        return "Two people say different things: look at it, and settle it below."
    if not entry.is_open:
        return "Closed. Nothing is left to do here."
    return "The work is done; why it is still open stands beside its state above."


def _next_text(item: Item, upcoming: Rung, build: Snapshot) -> str:
    """Return what the button says: the next act, and what it would skip."""
    skipped = build.skips(item.id)
    return rung_text(item, upcoming) + (f", skips {len(skipped)} earlier" if skipped else "")


def _rung(item: Item, rung: Rung, found: Ways | None) -> list[Any]:
    """Return an act, its words, its stage, what it asks for, and what the large button says instead."""
    asked = asks(item, rung)
    way = [found.first.value, found.first.label] if found and "value" in asked else None
    stage = rung.stage.number if rung.stage and rung.act is Act.STAGE else 0
    return [rung.act.value, rung_text(item, rung), stage, list(asked), way]


def asks(item: Item, rung: Rung) -> tuple[str, ...]:
    """Return what an act is asked for.

    `value`: what was reached, and with which wrench; `new`: whether new pieces are fitted; `old`: whether the
    old ones are in only to pull the joint together; `decision`: what was decided; `halves`: the code on the
    other half; `look`: another person than the doer; `bolts`: nothing, but it is done bolt after bolt, in the
    order of the pattern.
    """
    if rung.act is Act.DECIDED:
        return ("decision",)
    if rung.act is Act.CHECKED:
        return ("look",)
    if isinstance(item.detail, Connection) and item.detail.both_halves and rung.act is Act.LATCHED:
        return ("halves",)
    return _asks_group(item.detail, rung) if isinstance(item.detail, Fastener) else ()


def _asks_group(group: Fastener, rung: Rung) -> tuple[str, ...]:
    once = group.one_time == "yes"
    if rung.act is Act.TIGHT:
        return ("bolts", "value", "new") if once else ("bolts", "value")
    if rung.act is not Act.STAGE:
        return ()
    if rung.stage and rung.stage.printed.kind is StageKind.NEW_BOLT:
        return ("bolts", "new")
    return ("bolts", "old") if once else ("bolts",)
