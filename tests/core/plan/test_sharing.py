from itertools import combinations
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.plan import sharing
from app.core.plan.heights import fewest_changes
from app.core.plan.jobs import Job, in_order
from app.core.plan.sharing import Split, Turn, share, share_in_runs, shortest
from tests.core.order.graphs import some_jobs


def split_of(jobs: tuple[Job, ...], people: int) -> Split:
    found = share(jobs, people)
    assert isinstance(found, Split), found
    return found


def wrong_in(turns: tuple[Turn, ...], jobs: tuple[Job, ...], people: int) -> list[str]:
    """Say what a split breaks, by looking at every pair."""
    by_id = {job.id: job for job in jobs}
    at = {turn.job: turn for turn in turns}
    wrong = [] if sorted(at) == sorted(by_id) and len(turns) == len(jobs) else ["not each job once"]
    for turn in turns:
        job = by_id[turn.job]
        wrong += [f"{job.id} length"] * (turn.end - turn.start != job.minutes or turn.start < 0)
        wrong += [f"{job.id} people"] * (len(set(turn.people)) != job.people)
        wrong += [f"{job.id} strangers"] * (not set(turn.people) <= set(range(people)))
        wrong += [f"{job.id} before {b}" for b in job.after if b in at and at[b].end > turn.start]
    for a, b in combinations(turns, 2):
        if a.start < b.end and b.start < a.end and a.start < a.end and b.start < b.end:
            one, other = by_id[a.job], by_id[b.job]
            wrong += [f"{a.job} {b.job} one person"] * bool(set(a.people) & set(b.people))
            in_the_way = one.zone == other.zone != "" and not (one.shares_zone and other.shares_zone)
            wrong += [f"{a.job} {b.job} one zone"] * in_the_way
    return wrong


def shortest_of_all(jobs: tuple[Job, ...], people: int) -> int:
    """Try every start of every job, minute by minute."""
    ordered = in_order(jobs)
    best = sum(job.minutes for job in jobs)

    def fits(job: Job, start: int, laid: list[tuple[Job, int]]) -> bool:
        for minute in range(start, start + job.minutes):
            beside = [other for other, at in laid if at <= minute < at + other.minutes]
            if sum(other.people for other in beside) + job.people > people:
                return False
            for other in beside:
                if other.zone == job.zone != "" and not (other.shares_zone and job.shares_zone):
                    return False
        return True

    def lay(laid: list[tuple[Job, int]], end: int) -> None:
        nonlocal best
        if len(laid) == len(ordered):
            best = min(best, end)
            return
        job = ordered[len(laid)]
        earliest = max((at + o.minutes for o, at in laid if o.id in job.after), default=0)
        for start in range(earliest, best - job.minutes):
            if fits(job, start, laid):
                lay([*laid, (job, start)], max(end, start + job.minutes))

    lay([], 0)
    return best


@given(some_jobs(most=12), st.integers(3, 4))
@settings(max_examples=150)
def test_a_split_breaks_no_rule_and_no_bound(jobs: tuple[Job, ...], people: int) -> None:
    split = split_of(jobs, people)
    assert not wrong_in(split.turns, jobs, people)
    assert split.bound <= split.makespan <= sum(job.minutes for job in jobs)
    assert split.makespan == max((turn.end for turn in split.turns), default=0)


@given(some_jobs(most=5, most_minutes=3), st.integers(3, 3))
@settings(max_examples=80)
def test_no_split_of_few_jobs_is_shorter_and_that_is_proved(jobs: tuple[Job, ...], people: int) -> None:
    split = split_of(jobs, people)
    assert split.makespan == split.bound == shortest_of_all(jobs, people)
    assert split.proved


@given(some_jobs(most=5, most_minutes=3, most_people=2), st.integers(2, 3))
@settings(max_examples=80)
def test_the_rules_alone_stay_within_one_and_a_half_times_the_shortest(
    jobs: tuple[Job, ...], people: int
) -> None:
    best = shortest_of_all(jobs, people)
    with patch.object(sharing, "FEW", 0):
        split = split_of(jobs, people)
    assert split.bound <= best <= split.makespan <= 1.5 * best


@given(some_jobs(most=5, most_minutes=4, most_people=2), st.integers(2, 3))
@settings(max_examples=80)
def test_the_bound_is_never_above_the_shortest(jobs: tuple[Job, ...], people: int) -> None:
    assert shortest(in_order(jobs), people) <= shortest_of_all(jobs, people)


@given(some_jobs(most=10))
@settings(max_examples=100)
def test_in_runs_the_vehicle_stands_at_one_height_at_a_time(jobs: tuple[Job, ...]) -> None:
    plan = fewest_changes(jobs)
    split = share_in_runs(jobs, plan.runs, 3)
    assert isinstance(split, Split)
    assert not wrong_in(split.turns, jobs, 3)
    assert split.bound <= split.makespan
    run = {job: at for at, run in enumerate(plan.runs) for job in run.jobs}
    tall = {job.id for job in jobs if job.height}
    for a, b in combinations((turn for turn in split.turns if turn.job in tall), 2):
        assert run[a.job] == run[b.job] or a.end <= b.start or b.end <= a.start


def test_few_jobs_are_split_best_where_all_rules_fail() -> None:
    jobs = (
        Job("a", minutes=3), Job("b", minutes=1), Job("d", minutes=2, zone="right"),
        Job("c", minutes=2, zone="left", after=frozenset("b")),
    )  # fmt: skip
    assert split_of(jobs, 2).makespan == 4
    with patch.object(sharing, "FEW", 0):
        assert split_of(jobs, 2).makespan == 5


def test_what_takes_no_time_is_in_nobodys_way() -> None:
    jobs = (
        Job("p", minutes=5, zone="right"), Job("z", zone="left", after=frozenset("p")),
        Job("e", minutes=5, zone="right", after=frozenset("z")), Job("a", minutes=10, zone="left"),
    )  # fmt: skip
    assert split_of(jobs, 2).makespan == 10


def test_two_in_one_zone_wait_unless_both_say_that_they_need_not() -> None:
    alone = (Job("a", minutes=10, zone="nose"), Job("b", minutes=10, zone="nose", shares_zone=True))
    both = (Job("a", minutes=10, zone="nose", shares_zone=True), alone[1])
    assert split_of(alone, 2).makespan == 20
    assert split_of(both, 2).makespan == 10


def test_a_job_for_two_takes_two_in_its_zone() -> None:
    (turn,) = split_of((Job("lift", minutes=30, people=2, zone="nose"),), 3).turns
    assert turn == Turn("lift", 0, 30, (0, 1))


def test_whoever_is_in_the_zone_stays_there() -> None:
    jobs = (
        Job("a", minutes=10, zone="nose"), Job("b", minutes=10, zone="tail"),
        Job("c", minutes=10, zone="tail", after=frozenset("ab")),
        Job("d", minutes=10, zone="nose", after=frozenset("ab")),
    )  # fmt: skip
    who = {turn.job: turn.people for turn in split_of(jobs, 2).turns}
    assert (who["a"], who["b"]) == (who["d"], who["c"])


@pytest.mark.parametrize("people", [0, -1])
def test_nobody_here_is_named(people: int) -> None:
    found = share([Job("a", minutes=5)], people)
    assert isinstance(found, tuple)
    assert [(p.code, p.where) for p in found] == [("people-none", "people")]


def test_a_job_for_more_than_are_here_is_named() -> None:
    found = share([Job("lift", minutes=5, people=3), Job("a", minutes=5)], 2)
    assert isinstance(found, tuple)
    assert [(p.code, p.message, p.where) for p in found] == [
        ("people-few", "Needs 3 people, 2 are here.", "lift")
    ]


def test_what_cannot_be_planned_is_named() -> None:
    jobs = [
        Job("a", minutes=-5),
        Job("b", people=0),
        Job("c", after=frozenset("d")),
        Job("d", after=frozenset("c")),
    ]
    found = share(jobs, 2)
    assert isinstance(found, tuple)
    assert [(p.code, p.where) for p in found] == [
        ("minutes-negative", "a"), ("people-none", "b"), ("cycle", "c"),
    ]  # fmt: skip


def test_work_that_needs_everybody_adds_to_the_rest() -> None:
    jobs = (Job("lift", minutes=20, people=2), Job("long", minutes=60), Job("short", minutes=10))
    assert shortest(in_order(jobs), 2) == split_of(jobs, 2).makespan == 80
