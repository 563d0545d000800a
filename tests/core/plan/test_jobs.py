import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.cycles import CycleError
from app.core.plan.jobs import Job, in_order, longest_to_the_end, only_nearest, parts_of, problems_of
from tests.core.order.graphs import as_graph, some_jobs


@pytest.mark.parametrize(
    ("job", "code"),
    [
        (Job("a", minutes=-1), "minutes-negative"),
        (Job("a", people=0), "people-none"),
        (Job("a", after=frozenset("a")), "waits-for-itself"),
    ],
)
def test_a_job_that_cannot_be_is_named(job: Job, code: str) -> None:
    assert [(problem.code, problem.where) for problem in problems_of([job, Job("b")])] == [(code, "a")]


def test_jobs_that_wait_for_each_other_are_named() -> None:
    a, b, c = Job("a", after=frozenset("b")), Job("b", after=frozenset("a")), Job("c", after=frozenset("a"))
    assert [p.message for p in problems_of([a, b, c])] == ["These wait for each other: a, b, a."]
    with pytest.raises(CycleError) as caught:
        in_order([a, b, c])
    assert set(caught.value.members) == {"a", "b"}


def test_a_job_that_stands_twice_is_named_and_one_that_waits_for_what_is_gone_is_not() -> None:
    assert [p.code for p in problems_of([Job("a"), Job("a")])] == ["job-twice"]
    assert not problems_of([Job("a", after=frozenset({"deleted"}))])


@given(some_jobs(most=10))
@settings(max_examples=80)
def test_the_order_given_is_kept_where_nothing_waits(jobs: tuple[Job, ...]) -> None:
    place = {job.id: at for at, job in enumerate(jobs)}
    found = [job.id for job in in_order(jobs)]
    assert found == list(nx.lexicographical_topological_sort(as_graph(jobs), key=place.__getitem__))


@given(some_jobs(most=10))
@settings(max_examples=80)
def test_the_longest_path_is_that_of_another_library(jobs: tuple[Job, ...]) -> None:
    minutes = {job.id: job.minutes for job in jobs}
    graph = as_graph(jobs)
    graph.add_weighted_edges_from((a, b, minutes[b]) for a, b in list(graph.edges))
    graph.add_weighted_edges_from(("start", job, minutes[job]) for job in list(graph))

    found = longest_to_the_end(in_order(jobs), lambda job: job.minutes)

    assert max(found.values(), default=0) == nx.dag_longest_path_length(graph)


@given(some_jobs(most=10))
@settings(max_examples=80)
def test_what_follows_from_the_rest_is_left_out(jobs: tuple[Job, ...]) -> None:
    order = [job.id for job in in_order(jobs)]
    found = only_nearest({job.id: job.after for job in jobs}, order)
    expected = nx.transitive_reduction(as_graph(jobs))
    assert {(a, b) for b, befores in found.items() for a in befores} == set(expected.edges)


@given(some_jobs(most=10), st.data())
@settings(max_examples=120)
def test_groups_that_wait_crosswise_are_cut_and_others_stay_whole(
    jobs: tuple[Job, ...], data: st.DataObject
) -> None:
    order = [job.id for job in in_order(jobs)]
    group = {name: data.draw(st.sampled_from("xyz")) for name in order}
    parts = parts_of(order, group, {job.id: job.after for job in jobs})

    assert sorted(name for part in parts for name in part) == sorted(order)
    assert all(len({group[name] for name in part}) == 1 for part in parts)
    home = {name: at for at, part in enumerate(parts) for name in part}
    between = nx.DiGraph([(home[a], home[b]) for a, b in as_graph(jobs).edges if home[a] != home[b]])
    assert nx.is_directed_acyclic_graph(between)
    crosswise = nx.strongly_connected_components(
        nx.DiGraph([(group[a], group[b]) for a, b in as_graph(jobs).edges])
    )
    cut = {name for names in crosswise if len(names) > 1 for name in names}
    for whole in set(group.values()) - cut:
        assert sum(group[part[0]] == whole for part in parts) == 1


def test_a_cut_group_has_no_more_parts_than_it_must() -> None:
    order = ["a1", "a2", "b1", "b2", "a3"]
    waits = {"b1": ["a1"], "a3": ["b2"]}
    assert parts_of(order, {name: name[0] for name in order}, waits) == (("a1", "a2"), ("b1", "b2"), ("a3",))
