"""Time a list of 50,000 rows from its bytes to the order, and compare with parting its cells alone.

Run by `python -m tests.bench.bench_lists`; prints figures, target and ratio, fails above the target.
"""

import csv
import sys
import time
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from app.core.builds.list_export import export_list
from app.core.builds.order_lines import order_lines
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list
from app.core.lists.text import MOST_ROWS
from app.store.db.clock import stamp
from app.store.folder import open_folder
from app.store.journal import last_seq
from app.store.lists.lists import write_list
from app.store.loading import load
from app.store.plan.builds import Writer, new_build

TARGET = 1500
NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
WRITER = Writer("", "")


def rows() -> list[str]:
    """Return a list in which every row holds the one before it."""
    head = "id,step,height,zone,kind,name,count,thread,torque,holds,place"
    return [head] + [
        f"i{n},step {n // 500},wheels,zone {n % 70},{('bolt', 'hose', 'part')[n % 3]},thing {n},{n % 9 + 1},"
        f"{'M8x1.25x30,25 N·m' if n % 3 == 0 else ','},{f'i{n - 1}' if n else ''},bag {n % 3000}"
        for n in range(MOST_ROWS)
    ]


def main() -> int:
    """Measure once; the numbers are large enough."""
    lines = rows()
    took = {}
    started = time.process_time()
    cells = sum(len(row) for row in csv.reader(lines))
    took["parting the cells alone"] = time.process_time() - started
    with TemporaryDirectory() as path:
        folder = open_folder(Path(path) / "data", now=NOW)
        started = time.process_time()
        plan = read_list("\n".join(lines).encode())
        if not isinstance(plan, ListPlan):
            raise TypeError(plan)
        took["reading it"] = time.process_time() - started
        with folder.database.unit_of_work() as session:
            new_build(
                session, title="b", vehicle="", layout_key="transverse", units="N·m", dialect="us",
                writer=WRITER, now=stamp(NOW), starter_steps=False,
            )  # fmt: skip
            build = load(session, 1, last_seq(session))
            if build is None:
                raise TypeError(build)
            line = WRITER.line(f"build:{build.id}", "edit", {})
            write_list(session, build, plan, line, writer=WRITER, now=stamp(NOW))
        took["and putting it in"] = time.process_time() - started
        with folder.database.reading() as session:
            full = load(session, 1, 1)
        if full is None:
            raise TypeError(full)
        order_lines(full)
        took["and its order"] = time.process_time() - started
        export_list(full)
        took["and its export"] = time.process_time() - started
        folder.close()
    for what, seconds in took.items():
        sys.stdout.write(f"{what}: {seconds:.2f} s\n")
    ratio = took["and its export"] / took["parting the cells alone"]
    sys.stdout.write(
        f"{MOST_ROWS} rows, {cells} cells; target: ratio at most {TARGET}; measured {ratio:.0f}\n"
    )
    return int(ratio > TARGET)


if __name__ == "__main__":
    sys.exit(main())
