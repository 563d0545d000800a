"""What a thing goes back after, and on which side of the lift: written, refused, rebuilt."""

import pytest

from app.core.items.items import Item, Part
from app.core.items.kinds import Kind
from app.core.order.acts import GoesAfter
from app.core.phases.sides import ON_BEFORE, SideException
from app.core.problem import Problem
from app.store.plan.sequence import set_goes_after, set_side, side_exceptions
from app.store.rebuilding.rebuilding import rebuild
from tests.store.garage import NOW, Garage

A, B, C = "a" * 32, "b" * 32, "c" * 32


@pytest.fixture
def three(garage: Garage) -> Garage:
    for item in (A, B, C):
        garage.add(Item(item, 0, Kind.PART, f"Part {item[0]}", garage.steps[5], detail=Part()))
    return garage


def after(garage: Garage, item: str, *others: str, reason: str = "page 12", rev: int = 0) -> Problem | None:
    stated = [GoesAfter(item, other, reason) for other in others]
    line = garage.about(f"item:{item}", "edit", {})
    with garage.database.unit_of_work() as session:
        return set_goes_after(session, item, stated, line, rev=rev or garage.entry(item).rev, now=NOW)


def order(garage: Garage) -> str:
    build = garage.now()
    return "".join(build.entries[i].item.name[-1] for i in build.order if i in {A, B, C})


def test_a_thing_goes_back_after_what_it_says_and_the_order_says_why(three: Garage) -> None:
    assert order(three) == "cba"
    assert after(three, C, A, B) is None
    assert order(three) == "bac"
    moved = next(each for each in three.now().deviations if each.item == C)
    assert (moved.what, moved.why, moved.reason) == ("moved", "stated", "page 12")


def test_a_circle_is_refused_with_its_members_by_name(three: Garage) -> None:
    assert after(three, C, A) is None
    problem = after(three, A, C)
    assert problem
    assert problem.code == "cycle"
    assert "Part a" in problem.message
    assert "Part c" in problem.message
    assert order(three) == "bac"


@pytest.mark.parametrize(
    ("others", "reason", "code"),
    [
        ((C,), "page 1", "after-itself"),
        (("f" * 32,), "page 1", "after-gone"),
        ((A, A), "page 1", "after-twice"),
        ((A,), " ", "after-reason"),
        ((A,) * 51, "page 1", "after-many"),
    ],
)
def test_what_cannot_be_stated_is_named_and_writes_nothing(
    three: Garage, others: tuple[str, ...], reason: str, code: str
) -> None:
    before = three.rows()
    problem = after(three, C, *others, reason=reason)
    assert problem
    assert problem.code == code
    assert three.rows() == before


def test_a_page_that_did_not_know_what_stands_there_writes_nothing(three: Garage) -> None:
    problem = after(three, C, A, rev=7)
    assert problem
    assert problem.code == "stale"


def side(garage: Garage, stated: SideException | None) -> Problem | None:
    line = garage.about(f"item:{A}", "edit", {})
    with garage.database.unit_of_work() as session:
        return set_side(session, A, stated, line, rev=garage.entry(A).rev, now=NOW)


def test_a_side_needs_a_reason_and_is_cleared_by_saying_none(three: Garage) -> None:
    refused = side(three, SideException(ON_BEFORE, " "))
    assert refused
    assert refused.code == "reason"
    unknown = side(three, SideException("upside_down", "why not"))
    assert unknown
    assert unknown.code == "side"
    assert side(three, SideException(ON_BEFORE, "no hand gets there")) is None
    assert three.now().side_exceptions[A] == SideException(ON_BEFORE, "no hand gets there")
    assert side(three, None) is None
    assert three.now().side_exceptions == {}


def test_both_come_back_from_the_lines_alone(three: Garage) -> None:
    after(three, C, A)
    side(three, SideException(ON_BEFORE, "no hand gets there"))
    before = three.now()
    with three.database.unit_of_work() as session:
        rebuild(session)
        assert side_exceptions(session, three.build) == before.side_exceptions
    assert three.now().goes_after == before.goes_after == (GoesAfter(C, A, "page 12"),)
