"""Every page at 40, 2,000 and 15,000 things, beside a bare template of the same application.

Run `python -m tests.bench.bench_every_page [sizes] [words of addresses]`, such as `40,2000 gates engines`.
Each figure is processor time as a multiple of the bare page in the same run: machines differ, and others
may be busy on this one. Cold: nothing is loaded. Warm: the median of a few. Marked: the first page after
a mark, the median of a few marks, each on another thing; then what that is of the warm one.
"""

import re
import resource
import sys
import time
from collections.abc import Iterable, Iterator
from itertools import cycle
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from flask import Flask
from werkzeug.routing import Rule

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.kinds import Act, Kind
from app.core.ledger.ledger import next_act
from app.core.tags import shown
from app.store.db.clock import stamp
from app.store.journal import append
from app.store.plan.builds import Writer
from app.store.snapshots import Snapshots
from app.web.site.access import cookie_name
from tests.bench.large import NOW, Large, application, fill

SIZES = (40, 2000, 15000)
ROUNDS = 5
PASSED_OVER = frozenset({"static", "bare"})
_ID = re.compile("[0-9a-f]{32}")


def addresses(app: Flask, build: Snapshot) -> Iterator[str]:
    """Give the address of every page, each with the first of what it is about."""
    named = {
        "nr": 1, "sheet_nr": 1, "gate": "start", "name": "marks", "filename": "x", "token": "none",
        "key": "none", "entry_id": "0" * 32, "device_id": "0" * 32, "outstanding_id": "0" * 32,
        "item_id": next(e.item.id for e in build.items if e.item.kind is Kind.FASTENER and e.is_open),
        "step_id": build.steps[0].id,
        "zone_id": build.zones[0].id,
        "place_id": next(iter(build.places)),
        "photo_id": "0" * 32,
        "code": shown(next(iter(build.tags.values()))[0]),
        "tail": next(iter(build.tags.values()))[0],
    }  # fmt: skip
    bound = app.url_map.bind("localhost")
    for rule in sorted(app.url_map.iter_rules(), key=str):
        if "GET" in (rule.methods or ()) and rule.endpoint not in PASSED_OVER:
            yield from _variants(rule, bound.build(rule.endpoint, {k: named[k] for k in rule.arguments}))


def _variants(rule: Rule, address: str) -> Iterable[str]:
    if "gate" not in rule.arguments:
        return (address,)
    return tuple(address.replace("start", gate) for gate in ("lift", "mating", "start", "move"))


class Asked:
    """An application that pages are asked of, and marks sent to.

    Args:
        large: What it serves.
    """

    def __init__(self, large: Large) -> None:
        self.app = application(large)
        self._folder = large.folder
        self._state = self.app.extensions["putback"]
        self.client = self.app.test_client()
        self.client.set_cookie(cookie_name(self._state), large.keys[0])
        self._turn = cycle(entry.item.id for entry in self.build().items if self._can_go_on(entry))

    def build(self) -> Snapshot:
        """Return the build as it stands."""
        with self._folder.database.reading() as session:
            found: Snapshot | None = self._state.snapshots.of(session, 1)
        if found is None:
            raise LookupError(1)
        return found

    @staticmethod
    def _can_go_on(entry: Entry) -> bool:
        return entry.item.kind is Kind.FASTENER and next_act(entry.item, entry.state) is Act.PLACED

    def forget(self) -> None:
        """Let the loaded builds go."""
        self._state.snapshots = Snapshots()

    def mark(self) -> None:
        """Mark that another group has been placed."""
        entry = self.build().entries[next(self._turn)]
        line = Writer("", "").line(entry.subject, "mark", {"act": "placed"})
        with self._folder.database.unit_of_work() as session:
            append(session, line, build_id=self.build().id, now=stamp(NOW))

    def took(self, address: str) -> tuple[float, int, int]:
        """Return the processor time of a page [s], its size [bytes] and its status."""
        began = time.process_time()
        answer = self.client.get(address, headers={"Accept-Encoding": "identity"})
        return time.process_time() - began, len(answer.data), answer.status_code


def measure(asked: Asked, address: str) -> tuple[float, float, float, int, int]:
    """Return a page's times cold, warm and after a mark [s], its size [bytes] and its status."""
    asked.forget()
    cold, size, status = asked.took(address)
    warm = median(asked.took(address)[0] for _ in range(ROUNDS))
    marked = []
    for _ in range(ROUNDS):
        asked.mark()
        asked.took("/bare")
        marked.append(asked.took(address)[0])
    return cold, warm, median(marked), size, status


def main() -> None:
    """Fill, measure, print."""
    sizes = [int(n) for n in sys.argv[1].split(",")] if len(sys.argv) > 1 else SIZES
    with TemporaryDirectory(prefix="putback-bench-") as folder:
        for things in sizes:
            large = fill(Path(folder) / str(things), things)
            asked = Asked(large)
            bare = median(asked.took("/bare")[0] for _ in range(20 * ROUNDS))
            sys.stdout.write(f"\n{things} things; bare page {bare * 1000:.1f} ms\n")
            sys.stdout.write(f"{'page':44} cold   warm marked of warm      bytes\n")
            for address in addresses(asked.app, asked.build()):
                if len(sys.argv) > 2 and not any(word in address for word in sys.argv[2:]):
                    continue
                cold, warm, marked, size, status = measure(asked, address)
                shown_at = _ID.sub("…", address)
                said = "" if status == 200 else f" ({status})"
                sys.stdout.write(
                    f"{shown_at:40}{cold / bare:8.0f}{warm / bare:7.1f}{marked / bare:7.1f}"
                    f"{marked / warm:8.1f}{size:11,}{said}\n"
                )
                sys.stdout.flush()
            most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            sys.stdout.write(f"memory so far at most {most:.0f} MB\n")
            large.folder.close()


if __name__ == "__main__":
    main()
