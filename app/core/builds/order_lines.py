"""The order of putting back as lines to print: what is done, how tight, and after what."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from app.core.builds.snapshot import Entry, Snapshot, StepFacts
from app.core.items.items import Fastener, Item
from app.core.items.kinds import Act, Kind, rungs
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.ledger.ledger import work_act
from app.core.lists.notes import parted_note
from app.core.lists.renewals import new_name
from app.core.lists.vocabulary import NO_FIGURE
from app.core.order.acts import CHECK, OUT, PLACE
from app.core.order.graph import ACTS
from app.core.tightening.stages import stages_of
from app.core.torque.confirming import read_as
from app.core.wording.items import act_text
from app.core.wording.order import MILESTONE_TEXTS

MOST_NAMED = 3
"""Of what a line waits for, in words; a program gets all."""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of the order.

    Args:
        name: The item's or the step's name.
        kind: What it is.
        step: The name of its step on the way back; empty where it has none.
        act: The act that its work ends with.
        torque: As printed; empty where there is none.
        torque_read_as: What it is read as; empty where it is the print, sign for sign, or cannot be read.
        milestones: What must have happened to the engine first and has not, see
            `app.core.phases.routes.chain`.
        blocked_by: Names of what must be in first and is not yet.
        said: The act in words.
        id: The id of its row in the list that it came with, else its number; of a step, empty.
        acts: All its acts, each with its own place in the order: `act`, `stage` and `place`.
        stage: When it goes back, see `app.core.phases.stages.Stage`.
    """

    name: str
    kind: str
    step: str
    act: str
    torque: str
    blocked_by: list[str]
    said: str = ""
    id: str = ""
    acts: tuple[Mapping[str, Any], ...] = ()
    stage: str = ""
    torque_read_as: str = ""
    milestones: tuple[str, ...] = ()

    def fields(self) -> dict[str, Any]:
        """Return what a program reads."""
        names = ("name", "kind", "step", "act", "torque", "blocked_by", "id", "acts", "stage")
        found = {name: getattr(self, name) for name in names}
        found |= {"torque_read_as": self.torque_read_as} if self.torque_read_as else {}
        return found | ({"milestones": list(self.milestones)} if self.milestones else {})

    @property
    def words(self) -> str:
        """The line as a person reads it."""
        first = [MILESTONE_TEXTS.get(word, word) for word in self.milestones]
        first += [_few(self.blocked_by)] if self.blocked_by else []
        waits = f"after {', '.join(first)}" if first else ""
        step = "" if self.kind == Kind.STEP else self.step
        act = f"{self.said} {self.torque}".strip()
        if self.torque_read_as:
            act += f" (read as {self.torque_read_as})"
        told = " · ".join(filter(None, [self.name, act, step, waits]))
        # A name may hold what a terminal obeys.
        return "".join(sign if sign.isprintable() else " " for sign in told)


def _few(names: list[str]) -> str:
    """Return names as a person reads them: the last of many, and how many more."""
    if len(names) <= MOST_NAMED:
        return ", ".join(names)
    return f"{', '.join(names[-MOST_NAMED:])} and {len(names) - MOST_NAMED} more"


def order_lines(build: Snapshot, *, as_listed: bool = False) -> list[OrderLine]:
    """Return all that goes back, first to last.

    A step that goes both ways and has no item is work too: it stands where the plan has it.

    Args:
        build: The build.
        as_listed: Whether steps, and what a list made new for something `replaced`, go by the names of
            their rows, so that a program finds in the order what it finds in the list; else steps go by
            their names on the way back.
    """
    called = {item_id: entry.item.name or f"#{entry.item.number}" for item_id, entry in build.entries.items()}
    called |= _names_of_rows(build) if as_listed else _told_apart(build, called)
    way = Way.OFF if as_listed else Way.BACK
    waiting = _empty_steps(build)
    rank = {item_id: n for n, item_id in enumerate(build.order)}
    acts = acts_in_order(build)
    lines: list[OrderLine] = []
    for item_id in build.order:
        lines += (_step_line(step, way) for step in _steps_before(build, build.entries[item_id], waiting))
        first = sorted(build.blocked_by(item_id), key=lambda other: rank.get(other.item.id, -1))
        lines.append(
            _line(
                build,
                build.entries[item_id],
                [called[e.item.id] for e in first],
                called[item_id],
                way,
                acts.get(item_id, ()),
            )
        )
    return [*lines, *(_step_line(step, way) for step in waiting)]


def _empty_steps(build: Snapshot) -> list[StepFacts]:
    """Return the both-ways steps without items, in the order of putting back."""
    used = {entry.item.step for entry in build.items}
    return [step for step in reversed(build.steps) if step.direction == "both" and step.id not in used]


def _steps_before(build: Snapshot, entry: Entry, waiting: list[StepFacts]) -> Iterator[StepFacts]:
    step = build.step.get(build.step_back(entry.item))
    while waiting and step and waiting[0].position > step.position:
        yield waiting.pop(0)


def _step_line(step: StepFacts, way: Way) -> OrderLine:
    name = step_name(step, way)
    return OrderLine(name, Kind.STEP.value, name, Act.DONE.value, "", [], Act.DONE.value)


def _names_of_rows(build: Snapshot) -> dict[str, str]:
    """Return the names of the rows from which a list made something new, by the new one's id."""
    pairs = ((new, build.entries[new].item, build.entries[old].item) for new, old in build.replaces.items())
    return {new: old.name for new, item, old in pairs if old.name and item.name == new_name(old.name)}


def _told_apart(build: Snapshot, called: Mapping[str, str]) -> dict[str, str]:
    """Return the names that several things have, each with the thing's number, by id."""
    times = Counter(name.casefold() for name in called.values())
    return {
        item_id: f"{name} #{build.entries[item_id].item.number}"
        for item_id, name in called.items()
        if times[name.casefold()] > 1 and build.entries[item_id].item.number
    }


def acts_in_order(build: Snapshot) -> Mapping[str, tuple[Mapping[str, Any], ...]]:
    """Return for each item its acts, each with its place among all acts of the build, from 1."""
    found: dict[str, list[Mapping[str, Any]]] = defaultdict(list)
    place = 0
    for i in build.graph.order:
        node = build.graph.nodes[i]
        if node.what not in ACTS:
            continue
        for act, stage in _acts_of(build.entries[node.of].item, node.what):
            place += 1
            said: dict[str, Any] = {"act": act, "place": place}
            found[node.of].append(said | ({"stage": stage} if stage else {}))
    return {item: tuple(acts) for item, acts in found.items()}


def _acts_of(item: Item, what: str) -> list[tuple[str, int]]:
    """Return what one node stands for: its work in the stages that are printed."""
    if what == CHECK:
        return [(Act.CHECKED.value, 0)]
    if what == OUT:
        return [(Act.OFF.value, 0)]
    if what == PLACE and item.kind is Kind.STEP:
        return [(Act.DONE.value, 0)]
    if what == PLACE:
        return [(rungs(item.kind)[min(1, len(rungs(item.kind)) - 1)].value, 0)]
    stages = stages_of(item.detail) if isinstance(item.detail, Fastener) else ()
    if len(stages) < 2:  # noqa: PLR2004 - one stage is the work itself
        return [(work_act(item).value, 0)]
    return [(Act.STAGE.value, stage.number) for stage in stages[:-1]] + [(Act.TIGHT.value, stages[-1].number)]


def _line(
    build: Snapshot,
    entry: Entry,
    first: list[str],
    called: str,
    way: Way,
    acts: tuple[Mapping[str, Any], ...],
) -> OrderLine:
    item = entry.item
    step = build.step.get(build.step_back(item) if way is Way.BACK else item.step)
    torque = _torque(item)
    read = read_as(item.detail.torque if isinstance(item.detail, Fastener) else torque)
    return OrderLine(
        name=called,
        kind=item.kind.value,
        step=step_name(step, way) if step else "",
        act=work_act(item).value,
        torque=torque,
        torque_read_as="" if read == torque else read,
        blocked_by=first,
        milestones=_milestones(build, item.id),
        said=act_text(item, work_act(item)),
        id=item.listed_as or (str(item.number) if item.number else ""),
        acts=acts,
        stage=build.barriers.placements[item.id].stage.value,
    )


def _milestones(build: Snapshot, item_id: str) -> tuple[str, ...]:
    """Return the milestones that a thing's next act waits for; none where nobody tells milestones."""
    return () if build.reached is None else build.order_progress.milestones_ahead(item_id)


def _torque(item: Item) -> str:
    """Return the torque as printed; what is no fastener has it in its note."""
    if isinstance(item.detail, Fastener):
        return item.detail.printed
    torque = parted_note(item.kind, item.note)[1].get("torque", "")
    return "" if torque == NO_FIGURE else torque
