"""Order, now, plan and judge of whole builds with an engine swap, beside graphlib's sort of the same graph.

Run `python -m tests.bench.bench_guide [sizes]`. A build is filled and marked as for the other benches, told
that one engine comes out and another goes in, and read from the database once. Each figure is processor time
from nothing, rules of sides and milestones included, as a multiple of the sort in the same run. Judged again:
what one more mark costs.
"""

import gc
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from graphlib import TopologicalSorter
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from app.core.builds.readiness import can_do_now
from app.core.builds.snapshot import Snapshot
from app.core.builds.work import jobs_of
from app.core.consistency.rejudge import rejudge
from app.core.order.ready import Here
from app.store.journal import last_seq
from app.store.loading import load
from tests.bench.large import fill
from tests.swaps import ENGINE_UP

SIZES = (2000, 15000)
ROUNDS = 3


def seconds(work: Callable[[], object]) -> float:
    """Return the median processor time of a few runs, [s]."""
    taken = []
    for _ in range(ROUNDS):
        gc.collect()
        began = time.process_time()
        work()
        taken.append(time.process_time() - began)
    return median(taken)


def main() -> None:
    """Measure each size."""
    sizes = [int(n) for n in sys.argv[1].split(",")] if len(sys.argv) > 1 else SIZES
    with TemporaryDirectory(prefix="putback-bench-") as folder:
        for things in sizes:
            large = fill(Path(folder) / str(things), things)
            with large.folder.database.reading() as session:
                build = load(session, 1, last_seq(session))
            if build is None:
                raise TypeError(build)
            measure(replace(build, said_swap=ENGINE_UP), things)


def measure(build: Snapshot, things: int) -> None:
    """Print what each costs, once from nothing and beside the sort."""
    before = dict(enumerate(build.graph.before))
    alone = seconds(lambda: list(TopologicalSorter(before).static_order()))
    here = Here(2, "stands", 60)
    changed = {build.items[len(build.items) // 2].item.id}
    judgement = build.judgement
    costs: dict[str, Callable[[], object]] = {
        "order": lambda: replace(build).order,
        "judge": lambda: replace(build).judgement,
        "now, after the order": lambda: can_do_now(build, here),
        "plan's jobs, after the order": lambda: jobs_of(build),
        "judged again": lambda: rejudge(judgement, build.scene, changed),
    }
    sys.stdout.write(f"{things} things, {len(before)} acts: graphlib's sort {alone * 1000:.0f} ms\n")
    for name, work in costs.items():
        work()
        sys.stdout.write(f"  {name:30} {seconds(work) / alone:5.1f} of it\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
