from functools import cache

from hypothesis import given, settings

from app.core.plan.heights_bound import Bound
from app.core.plan.jobs import Job, in_order
from tests.core.order.graphs import some_jobs


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


@given(some_jobs(most=9, heights=("a", "b", "c", "d")))
@settings(max_examples=150)
def test_the_bound_by_paths_is_never_above_the_fewest_runs(jobs: tuple[Job, ...]) -> None:
    ordered = in_order(jobs)
    bits = {job.id: 1 << at for at, job in enumerate(ordered)}
    behind: dict[str, int] = {}
    for job in ordered:
        behind[job.id] = 0
        for before in job.after:
            behind[job.id] |= behind[before] | bits[before]
    bound = Bound([(job.height, behind[job.id]) for job in ordered])
    runs = fewest_of_all(jobs, "") + 1 if jobs else 0
    assert bound.of(sum(bits.values())) <= runs
