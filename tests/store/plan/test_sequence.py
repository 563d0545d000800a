import pytest

from app.core.items.items import Item, Part
from app.core.items.kinds import Kind
from app.core.order.acts import GoesAfter
from app.core.phases.sides import ON_BEFORE, STAYS_OFF, SideException
from app.core.problem import STALE, Problem
from app.store.db.clock import new_id
from app.store.plan.items import set_edges
from app.store.plan.sequence import MOST_AFTER, set_goes_after, set_side, side_exceptions
from app.store.rebuilding.rebuilding import rebuild
from tests.store.garage import NOW, Garage


def take_off(garage: Garage, name: str) -> str:
    item = Item(new_id(), 0, Kind.PART, name, garage.steps[0], garage.zones[0], detail=Part())
    garage.add(item)
    return item.id


def go_after(garage: Garage, item: str, *said: tuple[str, str], rev: int = 1) -> Problem | None:
    stated = [GoesAfter(item, after, reason) for after, reason in said]
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{item}", "edit", {})
        return set_goes_after(session, item, stated, line, rev=rev, now=NOW)


def side(garage: Garage, item: str, said: SideException | None, *, rev: int = 1) -> Problem | None:
    with garage.database.unit_of_work() as session:
        return set_side(session, item, said, garage.about(f"item:{item}", "edit", {}), rev=rev, now=NOW)


def sides(garage: Garage) -> dict[str, SideException]:
    with garage.database.reading() as session:
        return side_exceptions(session, garage.build)


def test_a_thing_goes_back_after_several_each_with_its_reason_until_that_is_cleared(garage: Garage) -> None:
    first, second, third = (take_off(garage, name) for name in ("Bracket", "Pipe", "Shield"))
    assert go_after(garage, first, (second, "no room"), (third, "hides its bolt")) is None
    order = garage.now().order
    assert order.index(first) > order.index(second)
    assert order.index(first) > order.index(third)
    assert {(s.after, s.reason) for s in garage.now().goes_after} == {
        (second, "no room"),
        (third, "hides its bolt"),
    }
    assert go_after(garage, first, rev=2) is None
    assert garage.now().goes_after == ()
    assert garage.entry(first).rev == 3


def test_a_circle_is_refused_with_its_members_and_nothing_is_written(garage: Garage) -> None:
    first, second, third = (take_off(garage, name) for name in ("Bracket", "Pipe", "Shield"))
    assert go_after(garage, first, (second, "no room")) is None
    assert go_after(garage, second, (third, "no room")) is None
    before = garage.rows()
    problem = go_after(garage, third, (first, "no room"))
    assert problem is not None
    assert (problem.code, problem.where) == ("cycle", "goes_after")
    assert all(name in problem.message for name in ("#1 Bracket", "#2 Pipe", "#3 Shield"))
    assert garage.rows() == before


def test_a_circle_through_what_joins_is_refused(garage: Garage) -> None:
    hose, pump = take_off(garage, "Hose"), take_off(garage, "Pump")
    with garage.database.unit_of_work() as session:
        line = garage.about(f"item:{hose}", "edit", {})
        assert set_edges(session, hose, "joins", {pump}, line, now=NOW) is None
    problem = go_after(garage, pump, (hose, "no room"))
    assert problem is not None
    assert problem.code == "cycle"


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ([("own", "so")], "after-itself"),
        ([("f" * 32, "so")], "after-gone"),
        ([("other", "so"), ("other", "again")], "after-twice"),
        ([("other", "  ")], "after-reason"),
        ([("other", "so")] * (MOST_AFTER + 1), "after-many"),
    ],
)
def test_what_cannot_be_said_is_refused(garage: Garage, said: list[tuple[str, str]], code: str) -> None:
    ids = {"own": take_off(garage, "Bracket"), "other": take_off(garage, "Pipe")}
    before = garage.rows()
    problem = go_after(garage, ids["own"], *((ids.get(after, after), reason) for after, reason in said))
    assert problem is not None
    assert problem.code == code
    assert garage.rows() == before


def test_words_of_an_older_page_write_nothing(garage: Garage) -> None:
    first, second = take_off(garage, "Bracket"), take_off(garage, "Pipe")
    assert go_after(garage, first, (second, "no room")) is None
    assert go_after(garage, first, rev=1) is STALE
    assert side(garage, first, None, rev=1) is STALE
    assert len(garage.now().goes_after) == 1


@pytest.mark.parametrize("what", [ON_BEFORE, STAYS_OFF])
def test_a_side_is_stated_with_a_reason_and_cleared_again(garage: Garage, what: str) -> None:
    item = take_off(garage, "Bracket")
    assert side(garage, item, SideException(what, "no hand gets there")) is None
    assert sides(garage) == {item: SideException(what, "no hand gets there")}
    assert garage.now().side_exceptions == sides(garage)
    assert side(garage, item, None, rev=2) is None
    assert sides(garage) == {}


@pytest.mark.parametrize(
    ("said", "code"),
    [(SideException("sideways", "so"), "side"), (SideException(ON_BEFORE, " "), "reason")],
)
def test_a_side_that_is_none_or_has_no_reason_is_refused(
    garage: Garage, said: SideException, code: str
) -> None:
    item = take_off(garage, "Bracket")
    problem = side(garage, item, said)
    assert problem is not None
    assert problem.code == code
    assert sides(garage) == {}


def test_the_journal_alone_gives_both_again(garage: Garage) -> None:
    first, second = take_off(garage, "Bracket"), take_off(garage, "Pipe")
    assert go_after(garage, first, (second, "no room")) is None
    assert side(garage, first, SideException(STAYS_OFF, "needs room"), rev=2) is None
    tables = ("goes_after", "side_exception")
    before = [garage.ask(f"SELECT * FROM {name}") for name in tables]  # noqa: S608 - its own names
    assert all(before)
    with garage.database.unit_of_work() as session:
        rebuild(session)
    assert [garage.ask(f"SELECT * FROM {name}") for name in tables] == before  # noqa: S608 - its own names
