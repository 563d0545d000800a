from itertools import combinations, pairwise

import networkx as nx
from hypothesis import given, settings

from app.core.plan.jobs import Job, in_order
from app.core.plan.layers import LayerDrawing, Shape, crossings, draw, layers_of
from tests.core.order.graphs import as_graph, some_jobs

SHAPE = Shape()


def drawing_of(jobs: tuple[Job, ...]) -> LayerDrawing:
    return draw({job.id: job.after for job in jobs}, [job.id for job in in_order(jobs)])


@given(some_jobs(most=14))
@settings(max_examples=80)
def test_layers_are_those_of_the_longest_path(jobs: tuple[Job, ...]) -> None:
    found = layers_of({job.id: job.after for job in jobs}, [job.id for job in in_order(jobs)])
    for at, names in enumerate(nx.topological_generations(as_graph(jobs))):
        assert {name for name, layer in found.items() if layer == at} == set(names)


@given(some_jobs(most=14))
@settings(max_examples=120)
def test_each_box_stands_below_what_it_waits_for_and_over_no_other(jobs: tuple[Job, ...]) -> None:
    drawing = drawing_of(jobs)
    at = {box.id: box for box in drawing.boxes}
    assert sorted(at) == sorted(job.id for job in jobs)
    for before, after in as_graph(jobs).edges:
        assert at[before].y + SHAPE.height < at[after].y
    for a, b in combinations(drawing.boxes, 2):
        assert abs(a.x - b.x) >= SHAPE.width or abs(a.y - b.y) >= SHAPE.height
    for box in drawing.boxes:
        assert -0.01 <= box.x <= drawing.width - SHAPE.width + 0.01
        assert 0 <= box.y <= drawing.height - SHAPE.height
    assert all(sum(b.y == box.y for b in drawing.boxes) <= SHAPE.most for box in drawing.boxes)


@given(some_jobs(most=14))
@settings(max_examples=80)
def test_a_line_leads_from_box_to_box_and_through_none_between(jobs: tuple[Job, ...]) -> None:
    drawing = drawing_of(jobs)
    at = {box.id: box for box in drawing.boxes}
    reduced = nx.transitive_reduction(as_graph(jobs))
    assert {(wire.before, wire.after) for wire in drawing.wires} == set(reduced.edges)
    for wire in drawing.wires:
        (x, y), (u, v) = wire.points[0], wire.points[-1]
        assert abs(x - at[wire.before].x - SHAPE.width / 2) < 0.01
        assert abs(u - at[wire.after].x - SHAPE.width / 2) < 0.01
        assert (y, v) == (at[wire.before].y + SHAPE.height, at[wire.after].y)
        for (a, b), (c, d) in pairwise(wire.points):
            passed = [box for box in drawing.boxes if b <= box.y < d and box.y + SHAPE.height <= d]
            assert all(a == c and not box.x < a < box.x + SHAPE.width for box in passed)


def test_lines_that_need_not_cross_do_not() -> None:
    jobs = (Job("a"), Job("b"), Job("c", after=frozenset("b")), Job("d", after=frozenset("a")))
    drawing = drawing_of(jobs)
    x = {box.id: box.x for box in drawing.boxes}
    assert (x["a"] < x["b"]) == (x["d"] < x["c"])


def test_crossings_are_counted_between_rows() -> None:
    rows = [[("a", "", 0), ("b", "", 0)], [("c", "", 1), ("d", "", 1)]]
    links = [(rows[0][0], rows[1][1]), (rows[0][1], rows[1][0]), (rows[0][1], rows[1][1])]
    assert crossings(rows, links) == 1


def test_nothing_to_draw_is_an_empty_drawing() -> None:
    assert drawing_of(()) == LayerDrawing((), (), 0, 0)
