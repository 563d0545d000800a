"""Pages of a large build beside a bare template on the same server: 2,000 items, 20,000 lines.

Run `python -m tests.bench.bench_pages`. Every figure is a ratio within this run: machines differ.
"""

import contextlib
import http.client
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path

from flask import Flask, render_template_string
from sqlalchemy import select
from waitress.server import create_server

from app.core.items.items import DETAIL, Item
from app.core.items.journal import Line
from app.core.items.kinds import ITEM_KINDS, LADDER
from app.store import crew, tags
from app.store.db.clock import new_id, stamp, utc_now
from app.store.db.models import Step, Tag, Zone
from app.store.folder import Folder, open_folder
from app.store.journal import append
from app.store.plan.builds import Writer, new_build
from app.store.plan.items import add_item, first_line
from app.web.factory import create_app
from app.web.site.access import cookie_name
from app.web.site.context import public

ITEMS = 2000
LINES_EACH = 10
SECONDS = 3.0
ROUNDS = 3
BARE = (
    "<!doctype html><title>bare</title><ul>"
    "{% for n, word in rows %}<li>{{ n }} <b>{{ word }}</b></li>{% endfor %}</ul>"
)


def fill(folder: Folder) -> tuple[str, str]:
    """Make the build; return the key of a device and a code that was given to an item."""
    now = stamp(utc_now())
    with folder.database.unit_of_work() as session:
        device, key = crew.let_in(session, name="Bench", label="bench", role="owner", now=utc_now())
        writer = Writer(device.person_id, device.id)
        build = new_build(
            session,
            title="Large",
            vehicle="",
            layout_key="transverse",
            units="N·m",
            dialect="us",
            writer=writer,
            now=now,
        )
        build_id = build.id
        zones = [zone.id for zone in session.scalars(select(Zone))]
        steps = [step.id for step in session.scalars(select(Step).where(Step.direction == "both"))]
        tags.print_sheet(session, count=ITEMS, grid="a4-40", halves=True, name="garage", port=8765, now=now)
        codes = list(session.scalars(select(Tag.code).order_by(Tag.code)))
    for start in range(0, ITEMS, 200):
        with folder.database.unit_of_work() as session:
            for i in range(start, start + 200):
                kind = ITEM_KINDS[i % 6]
                item = Item(
                    new_id(),
                    0,
                    kind,
                    f"Thing {i}",
                    steps[i * len(steps) // ITEMS],
                    zones[i % len(zones)],
                    detail=DETAIL[kind](),
                )
                line = first_line(
                    item, line_id=new_id(), act=None, person=device.person_id, device=device.id, at=now
                )
                add_item(session, item, line, build_id=build_id, now=now)
                give = writer.line(f"tag:{codes[i]}", "give", {"to": f"item:{item.id}"})
                tags.give(session, codes[i], f"item:{item.id}", give, build_id=build_id, now=now)
                for nth in range(LINES_EACH - 2):
                    act = LADDER[kind][nth % 2]
                    body = {"act": act.value}
                    line = Line(
                        new_id(),
                        f"item:{item.id}",
                        "mark",
                        body,
                        frozenset({line.id}),
                        line.person,
                        line.device,
                    )
                    append(session, line, build_id=build_id, now=now)
    return key, codes[ITEMS // 2]


@contextlib.contextmanager
def serving(app: Flask) -> Iterator[int]:
    """Serve on a free port of this machine."""
    server = create_server(app, host="127.0.0.1", port=0, threads=8)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    yield server.effective_port
    server.close()


def requests_per_second(port: int, path: str, cookie: str) -> float:
    """Ask for one page over and over on one connection."""
    connection = http.client.HTTPConnection("127.0.0.1", port)
    done, began = 0, time.perf_counter()
    while time.perf_counter() - began < SECONDS:
        connection.request("GET", path, headers={"Cookie": cookie})
        answer = connection.getresponse()
        body = answer.read()
        if answer.status != 200:
            raise SystemExit(f"{path}: {answer.status} {body[:200]!r}")
        done += 1
    return done / (time.perf_counter() - began)


def main() -> None:
    """Fill, serve, measure, print."""
    folder = open_folder(Path(tempfile.mkdtemp(prefix="putback-bench-")), now=utc_now(), demo=True)
    began = time.perf_counter()
    key, code = fill(folder)
    sys.stdout.write(
        f"filled {ITEMS} items, {ITEMS * LINES_EACH} lines in {time.perf_counter() - began:.1f} s\n"
    )
    app = create_app(folder, port=8765, start_key="", addresses=list)
    rows = [(n, f"word {n}") for n in range(40)]
    app.add_url_rule("/bare", "bare", public(lambda: render_template_string(BARE, rows=rows)))
    cookie = f"{cookie_name(app.extensions['putback'])}={key}"
    with folder.database.reading() as session:
        item = tags.look_up(session, code).subject.partition(":")[2]
    with serving(app) as port:
        for path, target in ((f"/i/{item}", 0.5), ("/b/1/put-back", 0.25)):
            ratios = []
            for _ in range(ROUNDS):
                bare = requests_per_second(port, "/bare", cookie)
                ratios.append(requests_per_second(port, path, cookie) / bare)
            name = "tag page" if path.startswith("/i/") else "put-back list"
            sys.stdout.write(
                f"{name}: {max(ratios):.2f} of the bare page (target {target}), bare {bare:.0f}/s\n"
            )


if __name__ == "__main__":
    main()
