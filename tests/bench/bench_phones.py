"""Twenty phones that mark and read cards at once, at 132 and 2,000 things.

Run `python -m tests.bench.bench_phones [sizes]`. The server is a process of its own, with as many threads as
the product's; each phone is a thread here with its own connection and key. It reads a card, marks what the
card is of, looks at the list of what is to be put back, and so on. Times are what a phone waits, so they
depend on the machine and on who else is busy on it: compare the sizes of one run.
"""

import http.client
import json
import logging
import multiprocessing
import re
import sys
import threading
import time
import urllib.parse
from collections.abc import Sequence
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory

from waitress.server import create_server

from app.core.builds.snapshot import Entry
from app.core.items.kinds import LADDER
from app.core.ledger.ledger import next_act
from app.store.db.clock import new_id
from app.web.server.serving import THREADS
from tests.bench.large import application, cookie, fill

SIZES = (132, 2000)
PHONES = 20
SECONDS = 20.0
PAUSE_S = 1.0
"""How long somebody holds the spanner between two taps, [s]: short, so that it is a hard test."""


@dataclass(slots=True)
class Told:
    """What a phone needs to know.

    Args:
        cookie: Its key.
        folder, build: Ids that an entry carries.
        items: What it marks, in turn, each with the act and the lines that it comes after.
    """

    cookie: str
    folder: str
    build: str
    items: list[tuple[str, str, tuple[str, ...]]]
    waited: dict[str, list[float]] = field(default_factory=lambda: {"mark": [], "card": [], "list": []})


def serve(things: int, path: Path, pipe: Connection) -> None:
    """Fill a folder and serve it; tell the port, and what the phones need."""
    large = fill(path, things, phones=PHONES)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    app = application(large)
    state = app.extensions["putback"]
    with large.folder.database.reading() as session:
        build = state.snapshots.of(session, 1)
    ready = [e for e in build.items if next_act(e.item, e.state) is LADDER[e.item.kind][1]]
    told = [
        Told(cookie(app, key), large.folder.id, build.id, [_what(e) for e in ready[nth::PHONES]])
        for nth, key in enumerate(large.keys)
    ]
    server = create_server(app, host="127.0.0.1", port=0, threads=THREADS)
    pipe.send((server.effective_port, told))
    server.run()


def _what(entry: Entry) -> tuple[str, str, tuple[str, ...]]:
    return entry.item.id, LADDER[entry.item.kind][1].value, entry.state.tips


def work(port: int, phone: Told, until: float, chance: float) -> None:
    """Read cards and mark them until the time is over."""
    asked = Asking(port, phone.cookie)
    token = re.search(r'name="csrf-token" content="([^"]+)"', asked.get("/outbox"))
    if token is None:
        raise LookupError("csrf-token")
    time.sleep(chance * PAUSE_S)
    turn = 0
    while time.perf_counter() < until:
        item, act, after = phone.items[turn % len(phone.items)]
        mark = new_id()
        entry = {
            "id": mark, "type": "line", "folder": phone.folder, "build": phone.build, "verb": "mark",
            "subject": f"item:{item}", "body": {"act": act}, "after": list(after),
        }  # fmt: skip
        form = {"entry": json.dumps(entry)}
        for what, address in (("card", f"/i/{item}"), ("mark", "/lines"), ("list", "/b/1/put-back")):
            began = time.perf_counter()
            if what == "mark":
                asked.post(address, form, token[1])
            else:
                asked.get(address)
            phone.waited[what].append(time.perf_counter() - began)
            time.sleep(PAUSE_S)
        phone.items[turn % len(phone.items)] = (item, act, (mark,))
        turn += 1


class Asking:
    """One connection to the server, with the key and the session of one phone."""

    def __init__(self, port: int, key: str) -> None:
        self._line = http.client.HTTPConnection("127.0.0.1", port)
        self._cookies = [key]

    def get(self, address: str) -> str:
        """Return a page."""
        return self._ask("GET", address, None, {})

    def post(self, address: str, form: dict[str, str], token: str) -> str:
        """Send a form, as scripts do."""
        headers = {"Content-Type": "application/x-www-form-urlencoded", "X-CSRFToken": token}
        return self._ask("POST", address, urllib.parse.urlencode(form), headers)

    def _ask(self, method: str, address: str, body: str | None, headers: dict[str, str]) -> str:
        self._line.request(method, address, body, headers | {"Cookie": "; ".join(self._cookies)})
        answer = self._line.getresponse()
        text = answer.read().decode()
        self._cookies += [c.partition(";")[0] for c in answer.headers.get_all("Set-Cookie") or ()]
        if answer.status != 200:
            raise RuntimeError(f"{method} {address}: {answer.status} {text[:200]}")
        return text


def measure(things: int, path: Path) -> None:
    """Let the phones work on a build of so many things, and print how long they waited."""
    ours, theirs = multiprocessing.Pipe()
    server = multiprocessing.Process(target=serve, args=(things, path, theirs), daemon=True)
    server.start()
    port, told = ours.recv()
    first = Asking(port, told[0].cookie)
    for address in (f"/i/{told[0].items[0][0]}", "/b/1/put-back"):
        first.get(address)
    until = time.perf_counter() + SECONDS
    phones = [
        threading.Thread(target=work, args=(port, phone, until, nth / PHONES))
        for nth, phone in enumerate(told)
    ]
    for phone in phones:
        phone.start()
    for phone in phones:
        phone.join()
    server.terminate()
    server.join()
    for what in ("mark", "card", "list"):
        waited = [each for phone in told for each in phone.waited[what]]
        sys.stdout.write(
            f"{things:6} things, {what}: {len(waited):5} times, median {median(waited):.3f} s, "
            f"p95 {_p95(waited):.3f} s, longest {max(waited):.3f} s\n"
        )
        sys.stdout.flush()


def _p95(waited: Sequence[float]) -> float:
    return quantiles(waited, n=20)[-1]


def main() -> None:
    """Measure each size."""
    sizes = [int(n) for n in sys.argv[1].split(",")] if len(sys.argv) > 1 else SIZES
    sys.stdout.write(f"{PHONES} phones for {SECONDS:.0f} s each, {PAUSE_S:g} s between two taps\n")
    with TemporaryDirectory(prefix="putback-bench-") as folder:
        for things in sizes:
            measure(things, Path(folder) / str(things))


if __name__ == "__main__":
    multiprocessing.set_start_method("spawn")
    main()
