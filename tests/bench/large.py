"""Invented builds of any size, written at once, and their application served on this machine."""

import contextlib
import threading
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from flask import Flask, render_template_string
from sqlalchemy import bindparam, select, update
from sqlalchemy.orm import Session
from waitress.server import create_server

from app.core.builds.snapshot import Entry, Snapshot
from app.core.consistency.times import times_of
from app.core.items.journal import Line
from app.core.items.kinds import LADDER, Act, Kind
from app.core.items.state import fold
from app.core.ledger.ledger import work_act
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list
from app.store import crew, tags
from app.store.db.clock import new_id, stamp
from app.store.db.models import Base, ItemStateRow, JournalRow, PhotoRow, Shows, Tag
from app.store.folder import Folder, open_folder
from app.store.journal import last_seq, store_state
from app.store.lists.lines import insert_all
from app.store.lists.lists import write_list
from app.store.loading import load
from app.store.plan.builds import Writer, new_build
from app.web.factory import create_app
from app.web.site.access import cookie_name
from app.web.site.context import public

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
THREADS = 8
STACK = 12
"""Things on top of each other: each holds the one before it, until the next stack begins."""
FLUIDS = 6
BARE = (
    "<!doctype html><title>bare</title><ul>"
    "{% for n, word in rows %}<li>{{ n }} <b>{{ word }}</b></li>{% endfor %}</ul>"
)
_KINDS = ("bolt", "hose", "part", "bolt", "connector", "dowel", "fluid", "bolt")
_TORQUES = ("25 N·m", "50 ± 5 N·m", "30 N·m then 90°", "8.5 N·m", "")
_THREADS = ("M8x1.25x30", "M10x1.5x45", "M6x1x20", "M12x1.75x60")


@dataclass(frozen=True, slots=True)
class Large:
    """A folder that was filled.

    Args:
        folder: Open.
        keys: Keys of devices that may mark, one a phone.
    """

    folder: Folder
    keys: tuple[str, ...]


def fill(path: Path, things: int, *, phones: int = 1) -> Large:
    """Make a build of so many things: all off, a third back in, tagged, in bags, every eighth pictured."""
    folder = open_folder(path, now=NOW, demo=True)
    with folder.database.unit_of_work() as session:
        let_in = [
            crew.let_in(session, name=f"Phone {n}", label="a phone", role="owner", now=NOW)
            for n in range(phones)
        ]
        writer = Writer(let_in[0][0].person_id, let_in[0][0].id)
        new_build(
            session, title="Large", vehicle="", layout_key="transverse", units="N·m", dialect="us",
            writer=writer, now=stamp(NOW),
        )  # fmt: skip
        plan = read_list("\n".join(_rows(things)).encode())
        build = load(session, 1, last_seq(session))
        if not isinstance(plan, ListPlan) or build is None:
            raise TypeError(plan)
        line = writer.line(f"build:{build.id}", "edit", {})
        write_list(session, build, plan, line, writer=writer, now=stamp(NOW))
    with folder.database.unit_of_work() as session:
        build = load(session, 1, last_seq(session))
        if build is None:
            raise TypeError(build)
        _, codes = tags.print_sheet(
            session, count=things, grid="a4-40", halves=True, name="garage", port=8765, now=stamp(NOW)
        )
        session.flush()
        given = dict(zip(codes, (entry.subject for entry in build.items), strict=True))
        sheet = Base.metadata.tables[Tag.__tablename__]
        session.execute(
            update(sheet).where(sheet.c.code == bindparam("of")).values(subject=bindparam("to")),
            [{"of": code, "to": subject} for code, subject in given.items()],
        )
        told = [writer.line(f"tag:{code}", "give", {"to": subject}) for code, subject in given.items()]
        append_many(session, build, [*told, *_marks(build, writer)])
        _picture(session, build)
    return Large(folder, tuple(key for _, key in let_in))


def _rows(things: int) -> list[str]:
    head = "id,step,height,zone,kind,name,count,thread,torque,holds,place"
    return [head, *(_row(n, things) for n in range(things))]


def _kind(n: int) -> str:
    """Return a kind of thing; a vehicle has a handful of fluids, however many things come off it."""
    kind = _KINDS[n % len(_KINDS)]
    return "part" if kind == "fluid" and n >= FLUIDS * len(_KINDS) else kind


def _row(n: int, things: int) -> str:
    kind = _kind(n)
    bolt = kind == "bolt"
    thread, torque = (_THREADS[n % 4], _TORQUES[n % 5]) if bolt else ("", "")
    holds = f"i{n - 1}" if n % STACK and "fluid" not in {kind, _kind(n - 1)} else ""
    place = f"bag {n // 4} → crate {n // 100}"
    count = n % 6 + 1 if bolt else 1
    step = f"step {n * 40 // things}"
    return f"i{n},{step},wheels,zone {n % 25},{kind},thing {n},{count},{thread},{torque},{holds},{place}"


def _marks(build: Snapshot, writer: Writer) -> Iterable[Line]:
    """Say of the last third that came off that it is placed, and of half of that that it is finished."""
    off_last = sorted(build.items, key=lambda entry: -entry.state.off_seq)
    for nth, entry in enumerate(off_last[: len(off_last) // 3]):
        work = work_act(entry.item)
        acts = [LADDER[entry.item.kind][1], *([work] if nth % 2 else [])]
        after: Sequence[str] = entry.state.tips
        for act in dict.fromkeys(acts):
            line = writer.line(entry.subject, "mark", _body(entry, act))
            yield replace(line, after=frozenset(after))
            after = (line.id,)


def _body(entry: Entry, act: Act) -> dict[str, str]:
    tight = entry.item.kind is Kind.FASTENER and act is Act.TIGHT
    return {"act": act.value} | ({"reached": "25 N·m"} if tight else {})


def append_many(session: Session, build: Snapshot, lines: Sequence[Line]) -> None:
    """Write lines and the states that follow from them, each subject folded once."""
    first = last_seq(session) + 1
    numbered = [replace(line, seq=first + n) for n, line in enumerate(lines)]
    insert_all(
        session,
        JournalRow,
        (
            {
                "seq": line.seq, "id": line.id, "build_id": build.id, "subject": line.subject,
                "verb": line.verb, "body": dict(line.body), "v": 1, "after": sorted(line.after),
                "device": line.device, "person": line.person, "phone_at": "", "server_at": stamp(NOW),
            }
            for line in numbered
        ),
    )  # fmt: skip
    touched = {line.subject for line in numbered}
    known: dict[str, list[Line]] = defaultdict(list)
    for row in session.execute(select(JournalRow.__table__).order_by(JournalRow.seq)):
        if row.subject in touched:
            known[row.subject].append(
                Line(row.id, row.subject, row.verb, row.body, frozenset(row.after), row.person, row.device,
                     row.seq, row.phone_at or row.server_at)
            )  # fmt: skip
    states = Base.metadata.tables[ItemStateRow.__tablename__]
    folded = {
        entry.subject: fold(
            entry.item.kind, entry.item.positions, known[entry.subject], work=work_act(entry.item)
        )
        for entry in build.items
        if entry.subject in touched
    }
    times = {
        entry.subject: times_of(entry.item, known[entry.subject])
        for entry in build.items
        if entry.subject in touched
    }
    session.execute(
        update(states)
        .where(states.c.subject == bindparam("of"))
        .values(state=bindparam("now"), upto_seq=bindparam("upto")),
        [
            {"of": subject, "now": store_state(state, times[subject]), "upto": state.last_seq}
            for subject, state in folded.items()
        ],
    )


def _picture(session: Session, build: Snapshot) -> None:
    pictured = {new_id(): entry.subject for entry in build.items[::8]}
    insert_all(
        session,
        PhotoRow,
        (
            {"id": photo, "build_id": build.id, "sha256": photo * 2, "width": 800, "height": 600,
             "line_id": "", "at": stamp(NOW)}
            for photo in pictured
        ),
    )  # fmt: skip
    insert_all(session, Shows, ({"photo_id": p, "subject": s} for p, s in pictured.items()))


def application(large: Large) -> Flask:
    """Return the application of a filled folder, with a bare template of 40 rows beside it."""
    app = create_app(large.folder, port=8765, start_key="", addresses=list)
    rows = [(n, f"word {n}") for n in range(40)]
    app.add_url_rule("/bare", "bare", public(lambda: render_template_string(BARE, rows=rows)))
    return app


def cookie(app: Flask, key: str) -> str:
    """Return the cookie of a device that was let in."""
    return f"{cookie_name(app.extensions['putback'])}={key}"


@contextlib.contextmanager
def serving(app: Flask) -> Iterator[int]:
    """Serve on a free port of this machine, by as many threads as the product has."""
    server = create_server(app, host="127.0.0.1", port=0, threads=THREADS)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    yield server.effective_port
    server.close()
