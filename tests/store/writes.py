"""Every kind of write that a build knows, each drawn by chance from what stands in it now."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from random import Random
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.builds.snapshot import Entry, Snapshot
from app.core.gates.gates import gate_subject
from app.core.items.items import DESTINIES, DETAIL, FATES, RELATIONS, Fastener, Finding, Item
from app.core.items.kinds import BESIDE, ITEM_KINDS, LADDER, Kind
from app.core.items.roles import Role
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list
from app.core.money import Money
from app.core.order.acts import INSTALL_EXCEPTIONS, InstallException, StepEdge
from app.core.problem import Problem
from app.core.procurement.outstanding import Outstanding
from app.core.tags import draw_code
from app.store import tags
from app.store.db.clock import new_id
from app.store.db.models import ItemStateRow, OutstandingRow, PhotoRow, Place, Shows, Tag
from app.store.intake.entries import StoredPicture
from app.store.journal import append, last_seq, lines_of, refold
from app.store.lists.lists import write_list
from app.store.loading import load
from app.store.plan.builds import (
    add_zone,
    edit_build,
    new_build,
)
from app.store.plan.deleted_steps import delete_step, deleted_steps, restore_step
from app.store.plan.engines import add_new_part, link_replacement
from app.store.plan.install_exceptions import set_install_exceptions
from app.store.plan.items import edit_item, set_edges
from app.store.plan.steps import add_step, edit_step, give_role, move_step, move_steps
from app.store.procurement.outstanding import (
    Edit,
    drop_outstanding,
    end_outstanding,
    reopen_outstanding,
    save_outstanding,
)
from tests.store.garage import NOW, Garage

TODAY = date(2031, 5, 4)
_LIST = b"""id,step,kind,name,holds,place
a,Belt,part,Pump,,bag 4
b,Belt,bolt,Pump bolt,a,bag 4
"""


class RefusedError(Exception):
    """Something cannot be written as it is."""


@dataclass(slots=True)
class Writing:
    """One who writes by chance.

    Args:
        garage: Where.
        chance: What decides.
        seen: Called in each unit of work when all of it is written.
    """

    garage: Garage
    chance: Random
    seen: Callable[[Session], None]

    def build(self) -> Snapshot:
        return self.garage.now()

    def entry(self, *kinds: Kind) -> Entry:
        every = [e for e in self.build().entries.values() if not kinds or e.item.kind in kinds]
        return self.chance.choice(every)

    def item(self) -> Entry:
        return self.entry(*ITEM_KINDS)

    def say(self, subject: str, verb: str, *, after: Sequence[str] = (), **body: Any) -> None:
        answer = self.garage.receive(self.garage.line(subject, verb, after=tuple(after), **body))
        assert answer.status == 200, answer

    def after(self, entry: Entry) -> tuple[str, ...]:
        """What the writer had seen: the newest, now and then nothing, so that lines disagree."""
        return entry.state.tips if self.chance.random() < 0.8 else ()

    def in_one(self, write: Callable[[Session], object]) -> None:
        """Write in one unit of work; what is refused leaves nothing written, as on the product's pages."""
        with suppress(RefusedError), self.garage.database.unit_of_work() as session:
            if isinstance(write(session), Problem):
                raise RefusedError
            session.flush()
            self.seen(session)

    @property
    def change(self) -> Edit:
        return Edit(self.garage.writer, NOW, TODAY)


def capture(w: Writing) -> None:
    kind = w.chance.choice(ITEM_KINDS)
    code = draw_code(w.chance.choice)
    sent: dict[str, Any] = {"picture": StoredPicture(new_id() * 2, 8, 6)} if w.chance.random() < 0.5 else {}
    assert w.garage.receive(w.garage.capture(kind=kind.value, code=code), **sent).status == 200


def capture_of_nothing(w: Writing) -> None:
    entry = w.garage.capture()
    assert w.garage.receive(entry, picture=StoredPicture(new_id() * 2, 8, 6)).status == 200


def find(w: Writing) -> None:
    about = w.item().item.id
    entry = w.garage.capture(kind="finding", about=about, what="worn", blocks=w.chance.random() < 0.5)
    assert w.garage.receive(entry).status == 200


def mark(w: Writing) -> None:
    entry = w.entry()
    acts = [*LADDER[entry.item.kind], *LADDER[entry.item.kind], *BESIDE[entry.item.kind]]
    act = w.chance.choice(acts).value
    w.say(entry.subject, "mark", after=w.after(entry), act=act)


def mark_some(w: Writing) -> None:
    entry = w.entry(Kind.FASTENER, Kind.PART)
    act = w.chance.choice(LADDER[entry.item.kind]).value
    w.say(entry.subject, "mark", after=w.after(entry), act=act, pos=[w.chance.randint(1, 4)])


def count(w: Writing) -> None:
    entry = w.entry(Kind.FASTENER)
    w.say(entry.subject, "count", after=w.after(entry), piece=w.chance.choice(["renewed", "spare", "lost"]))


def undo(w: Writing) -> None:
    entry = w.entry()
    with w.garage.database.reading() as session:
        lines = lines_of(session, entry.subject)
    if lines:
        w.say(entry.subject, "undo", after=w.after(entry), line=w.chance.choice(lines).id)


def settle(w: Writing) -> None:
    entry = w.entry()
    w.say(entry.subject, "settle", after=entry.state.tips, act=LADDER[entry.item.kind][-1].value)


def dispose(w: Writing) -> None:
    entry = w.item()
    w.say(entry.subject, "dispose", after=w.after(entry), destiny=w.chance.choice(DESTINIES), reason="so")


def say_fate(w: Writing) -> None:
    entry = w.item()
    w.say(entry.subject, "fate", after=w.after(entry), fate=w.chance.choice(FATES))


def acknowledge(w: Writing) -> None:
    entry = w.item()
    w.say(entry.subject, "acknowledge", after=w.after(entry), caution="high", torque="25 N·m")


def confirm(w: Writing) -> None:
    entry = w.item()
    w.say(entry.subject, "confirm", after=w.after(entry), torque="min. 25 N·m", reading="min. 25 N·m")


def line_before_its_parent(w: Writing) -> None:
    entry = w.entry()
    w.say(entry.subject, "mark", after=[new_id()], act=LADDER[entry.item.kind][0].value)


def line_of_nothing(w: Writing) -> None:
    w.say(f"item:{new_id()}", "mark", act="off")


def put_away(w: Writing) -> None:
    entry, places = w.item(), [*w.build().places, ""]
    w.say(entry.subject, "move", after=w.after(entry), place=w.chance.choice(places))


def make_place(w: Writing) -> None:
    def write(session: Session) -> None:
        place = Place(id=new_id(), build_id=w.garage.build, name=f"bag {w.chance.randint(1, 12)}")
        session.add(place)
        session.flush()
        line = w.garage.writer.line(f"place:{place.id}", "add", {"name": place.name})
        append(session, line, build_id=w.garage.build, now=NOW)

    w.in_one(write)


def move_place(w: Writing) -> None:
    if places := [*w.build().places]:
        w.say(f"place:{w.chance.choice(places)}", "move", place=w.chance.choice([*places, ""]))


def describe(w: Writing) -> None:
    entry, build = w.item(), w.build()
    kind = w.chance.choice([entry.item.kind, entry.item.kind, *ITEM_KINDS])
    detail = entry.item.detail if kind is entry.item.kind else DETAIL[kind]()
    if isinstance(detail, Fastener):
        detail = replace(detail, torque=w.chance.choice(["", "25 N·m", "50 N·m"]), one_time="yes")
    if isinstance(detail, Finding):
        detail = replace(detail, blocks=not detail.blocks)
    changed = replace(
        entry.item,
        kind=kind,
        detail=detail,
        name=w.chance.choice(["Bracket", "Ground cable", "Fuel hose"]),
        step=w.chance.choice([s.id for s in build.steps]),
        zone=w.chance.choice([z.id for z in build.zones]),
        n=w.chance.choice([None, 2, 4]),
    )
    rel, other = w.chance.choice(RELATIONS), w.item().item.id

    def write(session: Session) -> Problem | None:
        line = w.garage.about(entry.subject, "edit", {})
        problem = edit_item(session, entry.item.id, changed, line, rev=entry.rev, now=NOW)
        ties = w.garage.about(entry.subject, "edit", {})
        return problem or set_edges(session, entry.item.id, rel, {other} - {entry.item.id}, ties, now=NOW)

    w.in_one(write)


def replace_items(w: Writing) -> None:
    build, entry = w.build(), w.item()
    others = {w.item().item.id, w.item().item.id} - {entry.item.id}

    def write(session: Session) -> Problem | None:
        return link_replacement(
            session, build, entry.item.id, others, moves=w.chance.random() < 0.3, rev=entry.rev,
            writer=w.garage.writer, now=NOW,
        )  # fmt: skip

    w.in_one(write)


def bring_new(w: Writing) -> None:
    item = Item(new_id(), 0, Kind.PART, "New mount", owner="new engine", detail=DETAIL[Kind.PART]())
    w.in_one(
        lambda session: add_new_part(session, item, build_id=w.garage.build, writer=w.garage.writer, now=NOW)
    )


def state_exception(w: Writing) -> None:
    entry, step = w.item(), w.chance.choice(w.build().steps)
    said = [InstallException(entry.item.id, step.id, w.chance.choice(INSTALL_EXCEPTIONS), 1, "so")]
    line = w.garage.about(entry.subject, "edit", {})
    w.in_one(
        lambda session: set_install_exceptions(
            session, entry.item.id, w.chance.choice([said, []]), line, rev=entry.rev, now=NOW
        )
    )


def make_step(w: Writing) -> None:
    values = {
        "name": "Fill",
        "height": "wheels",
        "people": 1,
        "minutes": 5,
        "direction": w.chance.choice(["both", "on_only", "off_only"]),
    }
    w.in_one(lambda s: add_step(s, w.garage.build, values, writer=w.garage.writer, now=NOW))


def change_step(w: Writing) -> None:
    step, other = w.chance.choice(w.build().steps), w.chance.choice(w.build().steps)
    values = {"minutes": w.chance.randint(1, 90), "direction": w.chance.choice(["both", "on_only"])}
    waits = w.chance.choice([None, (), (StepEdge(other.id, step.id, "so"),)])
    w.in_one(
        lambda s: edit_step(
            s, step.id, values, rev=step.rev, writer=w.garage.writer, now=NOW, predecessors=waits
        )
    )  # fmt: skip


def exchange_steps(w: Writing) -> None:
    step = w.chance.choice(w.build().steps)
    w.in_one(lambda s: move_step(s, step.id, w.chance.choice([-1, 1]), writer=w.garage.writer, now=NOW))


def drop_step(w: Writing) -> None:
    step = w.chance.choice(w.build().steps)
    if len(w.build().steps) > 4:
        w.in_one(lambda s: delete_step(s, step.id, writer=w.garage.writer, now=NOW))


def bring_step_back(w: Writing) -> None:
    with w.garage.database.reading() as session:
        gone = deleted_steps(session, w.garage.build)
    if gone:
        line = w.chance.choice(gone).line
        w.in_one(lambda s: restore_step(s, line, writer=w.garage.writer, now=NOW))


def give_a_role(w: Writing) -> None:
    step, role = w.chance.choice(w.build().steps), w.chance.choice([*Role])
    w.in_one(lambda s: give_role(s, w.garage.build, step.id, role, writer=w.garage.writer, now=NOW))


def move_some_steps(w: Writing) -> None:
    ids = [step.id for step in w.build().steps]
    chosen, after = w.chance.sample(ids, 2), w.chance.choice(["", *ids])
    w.in_one(lambda s: move_steps(s, w.garage.build, chosen, after, writer=w.garage.writer, now=NOW))


def make_zone(w: Writing) -> None:
    w.in_one(lambda s: add_zone(s, w.garage.build, "Trunk", "above", writer=w.garage.writer, now=NOW))


def change_build(w: Writing) -> None:
    values = {"title": f"Build {w.chance.random()}", "dialect": w.chance.choice(["uk", "us"])}
    w.in_one(
        lambda s: edit_build(
            s, w.garage.build, values, rev=w.build().rev, writer=w.garage.writer, now=NOW
        )
    )  # fmt: skip


def print_tags(w: Writing) -> None:
    w.in_one(
        lambda s: tags.print_sheet(s, count=2, grid="a4", halves=True, name="bay.local", port=80, now=NOW)
    )


def void_tag(w: Writing) -> None:
    with w.garage.database.reading() as session:
        codes = list(session.scalars(select(Tag.code)))
    if codes:
        code = w.chance.choice(codes)
        line = w.garage.about(f"tag:{code}", "void", {})
        w.in_one(lambda s: tags.make_void(s, code, line, build_id=None, now=NOW))


def give_photo(w: Writing) -> None:
    with w.garage.database.reading() as session:
        photos = list(session.scalars(select(PhotoRow.id)))
    if not photos:
        return
    photo, subject = w.chance.choice(photos), w.entry().subject

    def write(session: Session) -> None:
        if session.get(Shows, (photo, subject)) is None:
            session.add(Shows(photo_id=photo, subject=subject))
            line = w.garage.about(f"photo:{photo}", "give", {"shows": [subject]})
            append(session, line, build_id=w.garage.build, now=NOW)

    w.in_one(write)


def wait_for(w: Writing) -> None:
    item = w.item().item.id
    away = Outstanding(new_id(), f"item:{item}", "away", "machine", "skim", "the shop", TODAY)
    wish = Outstanding(new_id(), f"build:{w.garage.build}", "get", "other", "oil", price=Money(9, "EUR"))
    get = Outstanding(new_id(), f"item:{item}", "get", "pieces", "bolts", "the shop", count=2)
    wait = w.chance.choice([away, wish, get])
    w.in_one(lambda s: save_outstanding(s, wait, w.change, build_id=w.garage.build, currency="EUR"))


def end_wait(w: Writing) -> None:
    with w.garage.database.reading() as session:
        rows = list(session.execute(select(OutstandingRow.id, OutstandingRow.rev)))
    if rows:
        outstanding_id, rev = w.chance.choice(rows)
        end = w.chance.choice([end_outstanding, reopen_outstanding, drop_outstanding])
        w.in_one(lambda s: end(s, outstanding_id, replace(w.change, rev=rev)))


def answer_gate(w: Writing) -> None:
    w.say(gate_subject(w.garage.build, "start"), "answer", gate="start", question="belt", value=True)


def stop(w: Writing) -> None:
    w.say(f"build:{w.garage.build}", "stop", note="tea")


def take_list_in(w: Writing) -> None:
    plan = read_list(_LIST)
    assert isinstance(plan, ListPlan)

    def write(session: Session) -> None:
        build = load(session, 1, last_seq(session))
        assert build
        line = w.garage.about(f"build:{w.garage.build}", "edit", {})
        write_list(session, build, plan, line, writer=w.garage.writer, now=NOW)

    w.in_one(write)


def make_build(w: Writing) -> None:
    w.in_one(
        lambda s: new_build(
            s, title="Another", vehicle="", layout_key="transverse", units="N·m", dialect="us",
            writer=w.garage.writer, now=NOW,
        )
    )  # fmt: skip


def fold_again(w: Writing) -> None:
    def write(session: Session) -> None:
        for row in session.scalars(select(ItemStateRow)).all():
            refold(session, row.subject, row.build_id)

    w.in_one(write)


WRITES: tuple[Callable[[Writing], None], ...] = (
    *(capture, capture, capture_of_nothing, find, mark, mark, mark, mark_some, count, undo, settle, dispose),
    *(say_fate, acknowledge, confirm, line_before_its_parent, line_of_nothing, put_away, make_place),
    *(move_place, describe, describe, replace_items, bring_new, state_exception, make_step, change_step),
    *(exchange_steps, move_some_steps, give_a_role, drop_step, drop_step, bring_step_back, bring_step_back),
    *(make_zone, print_tags, change_build, void_tag, give_photo, wait_for, end_wait),
    *(answer_gate, stop, take_list_in, make_build, fold_again),
)
