from functools import cache
from itertools import combinations, pairwise, product
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.cycles import CycleError
from app.core.plan import heights
from app.core.plan.heights import changes_in, fewest_changes, keeping_runs
from app.core.plan.jobs import Job, in_order
from tests.core.order.graphs import HEIGHTS, is_valid, some_jobs


def fewest_of_all(jobs: tuple[Job, ...], start: str) -> int:
    """Look at every order, one job at a time."""
    by_id = {job.id: job for job in jobs}

    @cache
    def further(left: frozenset[str], height: str) -> int:
        ready = [by_id[name] for name in left if not by_id[name].after & left]
        return min(
            (
                further(left - {job.id}, job.height or height)
                + (bool(job.height) and bool(height) and job.height != height)
                for job in ready
            ),
            default=0,
        )

    return further(frozenset(by_id), start)


def chain(letters: str, name: str) -> list[Job]:
    """Jobs that wait one for the other, a letter each."""
    return [
        Job(f"{name}{at}", height, after=frozenset({f"{name}{at - 1}"} if at else ()))
        for at, height in enumerate(letters)
    ]


@given(some_jobs(), st.sampled_from(("", *HEIGHTS, "pit")))
@settings(max_examples=250)
def test_no_order_of_few_jobs_has_fewer_changes_and_that_is_proved(jobs: tuple[Job, ...], start: str) -> None:
    plan = fewest_changes(jobs, start=start)

    by_id = {job.id: job for job in jobs}
    assert is_valid(plan.order, jobs)
    assert plan.changes == fewest_of_all(jobs, start) == changes_in((by_id[i] for i in plan.order), start)
    assert plan.proved
    assert plan.bound == plan.changes


def test_on_every_graph_of_four_jobs_and_three_heights_the_plan_is_the_fewest() -> None:
    pairs = list(combinations("abcd", 2))
    for stands in product(HEIGHTS, repeat=4):
        for chosen in product((False, True), repeat=len(pairs)):
            edges = [pair for pair, is_in in zip(pairs, chosen, strict=True) if is_in]
            jobs = tuple(
                Job(name, height, after=frozenset(a for a, b in edges if b == name))
                for name, height in zip("abcd", stands, strict=True)
            )
            plan = fewest_changes(jobs)
            assert plan.proved
            assert plan.changes == fewest_of_all(jobs, ""), jobs


@given(some_jobs(most=9), st.sampled_from(("", *HEIGHTS)))
@settings(max_examples=150)
def test_a_search_that_has_to_drop_ways_still_tells_a_true_bound(jobs: tuple[Job, ...], start: str) -> None:
    with patch.object(heights, "BEAM", 1):
        plan = fewest_changes(jobs, start=start, width=1)
    assert plan.bound <= fewest_of_all(jobs, start) <= plan.changes


def test_a_poor_quick_search_is_made_good_by_the_second() -> None:
    jobs = (*chain("acd", "x"), *chain("dcb", "y"), *chain("bcd", "z"))
    with patch.object(heights, "BEAM", 1):
        poor, good = fewest_changes(jobs, width=1), fewest_changes(jobs)
    assert (poor.changes, poor.bound, poor.proved) == (6, 5, False)
    assert (good.changes, good.bound) == (5, 5)
    assert fewest_of_all(jobs, "") == 5


@given(some_jobs())
@settings(max_examples=80)
def test_each_run_has_one_height_and_the_next_another(jobs: tuple[Job, ...]) -> None:
    by_id = {job.id: job for job in jobs}
    runs = fewest_changes(jobs).runs
    for run in runs:
        assert {by_id[i].height for i in run.jobs} <= {run.height, ""}
        assert run.height in {by_id[i].height for i in run.jobs}
    assert all(a.height != b.height for a, b in pairwise(runs))


def test_all_that_can_be_done_at_a_height_is_done_before_it_changes() -> None:
    jobs = [*chain("aba", "x"), *chain("ab", "y")]
    plan = fewest_changes(jobs)
    assert [(run.height, set(run.jobs)) for run in plan.runs] == [
        ("a", {"x0", "y0"}), ("b", {"x1", "y1"}), ("a", {"x2"}),
    ]  # fmt: skip
    assert (plan.changes, changes_in(jobs)) == (2, 3)


def test_chains_that_go_round_the_other_way_need_more_than_the_longest() -> None:
    plan = fewest_changes([*chain("abcabc", "x"), *chain("cbacba", "y"), *chain("bacbac", "z")])
    assert plan.proved
    assert plan.changes > 5


def test_work_on_the_bench_is_no_change() -> None:
    jobs = [Job("in", "lift"), Job("clutch", "", after=frozenset({"in"})), Job("exhaust", "lift")]
    assert fewest_changes(jobs).changes == changes_in(jobs) == 0
    assert fewest_changes([Job("clutch")]).runs[0].height == ""


def test_coming_from_another_height_is_a_change() -> None:
    assert fewest_changes([Job("exhaust", "stands")]).changes == 0
    assert fewest_changes([Job("exhaust", "stands")], start="wheels").changes == 1
    assert fewest_changes([Job("exhaust", "stands")], start="stands").changes == 0


def test_nothing_to_do_is_no_plan() -> None:
    assert fewest_changes([], start="wheels").runs == ()
    assert fewest_changes([]).changes == 0


def test_within_a_run_the_nearest_zone_comes_next() -> None:
    places = {"nose": (0.0, 0.0), "middle": (5.0, 0.0), "tail": (9.0, 0.0)}
    jobs = [Job("1", "a", zone="nose"), Job("2", "a", zone="tail"), Job("3", "a", zone="middle")]
    assert fewest_changes(jobs, places=places).order == ("1", "3", "2")
    assert fewest_changes([*jobs, Job("4", "a", zone="nose")], places=places).order == ("1", "4", "3", "2")


def test_a_circle_is_refused() -> None:
    with pytest.raises(CycleError):
        fewest_changes([Job("a", after=frozenset("b")), Job("b", after=frozenset("a"))])


@given(some_jobs())
@settings(max_examples=80)
def test_jobs_that_keep_their_runs_still_have_an_order_and_no_height_twice(jobs: tuple[Job, ...]) -> None:
    plan = fewest_changes(jobs)
    kept = in_order(keeping_runs(jobs, plan.runs))
    assert changes_in(kept) == plan.changes
    assert is_valid([job.id for job in kept], jobs)
