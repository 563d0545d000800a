"""Jobs by chance that wait for each other without a cycle, and an independent judge of an order."""

from collections.abc import Iterable, Sequence

import networkx as nx
from hypothesis import strategies as st

from app.core.plan.jobs import Job

HEIGHTS = ("wheels", "stands", "lift")


@st.composite
def some_jobs(
    draw: st.DrawFn,
    *,
    most: int = 7,
    heights: Sequence[str] = (*HEIGHTS, ""),
    most_minutes: int = 90,
    most_people: int = 3,
) -> tuple[Job, ...]:
    """Jobs in any order, with zones that some share."""
    names = draw(st.permutations("abcdefghijklmnop"[:most]))[: draw(st.integers(0, most))]
    jobs = [
        Job(
            name,
            draw(st.sampled_from(heights)),
            draw(st.integers(0, most_minutes)),
            draw(st.integers(1, most_people)),
            draw(st.sampled_from(("", "left", "right"))),
            frozenset(draw(st.sets(st.sampled_from(names[:at]), max_size=3))) if at else frozenset(),
            draw(st.booleans()),
        )
        for at, name in enumerate(names)
    ]
    return tuple(draw(st.permutations(jobs)))


def as_graph(jobs: Iterable[Job]) -> "nx.DiGraph[str]":
    """The same in the words of another library: a line leads from what comes first."""
    given = tuple(jobs)
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(job.id for job in given)
    graph.add_edges_from((before, job.id) for job in given for before in job.after if before in graph)
    return graph


def is_valid(order: Sequence[str], jobs: Iterable[Job]) -> bool:
    """Tell whether an order has each job once and after what it waits for."""
    graph = as_graph(jobs)
    place = {name: at for at, name in enumerate(order)}
    return sorted(order) == sorted(graph) and all(place[a] < place[b] for a, b in graph.edges)
