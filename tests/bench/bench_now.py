"""What can be done now at 200, 2,000 and 15,000 items, beside graphlib's sort of the same graph.

Run `python -m tests.bench.bench_now`. Every figure is a ratio within this run: machines differ.

Families: `chain` (each thing covers the one that came off after it), `stacks` (parts under joints of
bolts, in 18 steps with stated orders between neighbours), `knot` (a hostile one: long bolts that overrule
the joints, so that the defaults give way), `loose` (no edges at all).
"""

import sys
import time
from collections.abc import Callable
from graphlib import TopologicalSorter
from itertools import pairwise
from statistics import median

from app.core.items.items import Edge
from app.core.items.kinds import Kind
from app.core.order.acts import Plan, PlanStep, Progress, StepEdge, Thing
from app.core.order.graph_builder import build_graph
from app.core.order.progress import OrderProgress
from app.core.order.ready import Demand, Here, now

SIZES = (200, 2000, 15000)
STEPS = 18
ROUNDS = 5


def _thing(i: int, size: int, kind: Kind) -> Thing:
    return Thing(f"{i:05d}", kind, f"s{i * STEPS // size:02d}", i + 1, finishes=kind is Kind.FASTENER)


def _steps() -> tuple[PlanStep, ...]:
    return tuple(PlanStep(f"s{i:02d}", i) for i in range(STEPS))


def chain(size: int) -> Plan:
    """Everything in one chain: the deepest there is."""
    made = tuple(_thing(i, size, Kind.PART) for i in range(size))
    return Plan(made, _steps(), tuple(Edge(a.id, "covers", b.id) for a, b in pairwise(made)))


def stacks(size: int) -> Plan:
    """One part in four, held by the three groups that came off before it; each stack covers the next."""
    made = tuple(_thing(i, size, Kind.PART if i % 4 == 3 else Kind.FASTENER) for i in range(size))
    held = [Edge(made[i].id, "holds", made[i - i % 4 + 3].id) for i in range(size) if i % 4 < 3]
    over = [Edge(made[i].id, "covers", made[i + 4].id) for i in range(3, size - 4, 4)]
    stated = tuple(StepEdge(f"s{i + 1:02d}", f"s{i:02d}", "so") for i in range(STEPS - 1))
    return Plan(made, _steps(), (*held, *over), stated)


def knot(size: int) -> Plan:
    """A long bolt through a bracket and a pump, the bracket over the pump's short bolt, again and again."""
    kinds = (Kind.FASTENER, Kind.PART, Kind.FASTENER, Kind.PART)
    made = tuple(_thing(i, size, kinds[i % 4]) for i in range(size))
    tied: list[Edge] = []
    for i in range(0, size - 3, 4):
        long, bracket, short, pump = (thing.id for thing in made[i : i + 4])
        tied += [Edge(long, "holds", pump), Edge(long, "holds", bracket)]
        tied += [Edge(short, "holds", pump), Edge(bracket, "covers", short)]
    return Plan(made, _steps(), tuple(tied))


def loose(size: int) -> Plan:
    """Nothing holds anything."""
    return Plan(tuple(_thing(i, size, Kind.PART) for i in range(size)), _steps())


def seconds(work: Callable[[], object]) -> float:
    """Return the median time of a few runs on the processor, [s]: others may be busy on this machine."""
    taken = []
    for _ in range(ROUNDS):
        began = time.process_time()
        work()
        taken.append(time.process_time() - began)
    return median(taken)


def ask(plan: Plan) -> None:
    """Weave the graph and ask what can be done, with every third thing in."""
    graph = build_graph(plan)
    done = Progress(placed=True, finished=True, looked_at=True)
    stand = OrderProgress(graph, {thing.id: done for i, thing in enumerate(plan.things) if i % 3 == 0})
    demands = {thing.id: Demand("stands" if i % 2 else "wheels") for i, thing in enumerate(plan.things)}
    now(stand, demands, Here(2, "stands", 60), stuck={}, unavailable={})


def main() -> None:
    """Measure and print."""
    for family in (chain, stacks, knot, loose):
        for size in SIZES:
            plan = family(size)
            before = dict(enumerate(build_graph(plan).before))
            alone = seconds(lambda graph=before: list(TopologicalSorter(graph).static_order()))  # type: ignore[misc]
            whole = seconds(lambda asked=plan: ask(asked))  # type: ignore[misc]
            sys.stdout.write(
                f"{family.__name__:7} {size:6} items {len(before):6} acts: {whole * 1000:8.1f} ms, "
                f"{whole / alone:5.1f} of graphlib's sort, {whole / size * 1e6:6.1f} us an item\n"
            )


if __name__ == "__main__":
    main()
