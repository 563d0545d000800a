"""What is to be looked at again after a start."""

from dataclasses import dataclass, replace
from datetime import date

import pytest

from app.core.gates.rechecks import General, is_late, read_km, rechecks
from app.core.items.items import Fastener, Item
from app.core.items.kinds import Kind
from tests.core.ledger.standing import item

DAY = date(2031, 12, 31)


@dataclass(frozen=True, slots=True)
class WithRetorque(Fastener):
    """A group whose sheet asks for a recheck."""

    retorque: str = ""


def group(retorque: str) -> Item:
    return replace(item(Kind.FASTENER), detail=WithRetorque(retorque=retorque))


@pytest.mark.parametrize(
    ("when", "due", "after_km"),
    [
        ("hot", DAY, None),
        ("next day", date(2032, 1, 1), None),
        ("after 3 days", date(2032, 1, 3), None),
        ("2 weeks", date(2032, 1, 14), None),
        ("50-100 km", None, 50.0),
        ("50–100 km", None, 50.0),
        ("500 km", None, 500.0),
        ("100 miles", None, 160.9344),
        ("when it suits", DAY, None),
    ],
)
def test_a_recheck_is_due_on_a_day_or_after_a_distance(
    when: str, due: date | None, after_km: float | None
) -> None:
    [found] = rechecks([], DAY, None, [General("k", "look", when)])
    assert (found.due, found.after_km, found.due_km) == (due, after_km, None)


def test_with_the_counter_read_at_the_start_the_reading_at_which_it_is_due_is_said() -> None:
    [found] = rechecks([], DAY, 120_000.0, [General("k", "look", "50-100 km")])
    assert found.due_km == 120_050.0


def test_a_group_whose_sheet_asks_for_it_gets_a_recheck_of_its_own_and_others_none() -> None:
    found = rechecks([group("500 km"), item(Kind.FASTENER, "2"), item(Kind.PART, "3")], DAY, None)
    assert [(each.item, each.after_km) for each in found] == [("1", 500.0)]


def test_dated_ones_come_first_by_day_then_the_rest_by_distance() -> None:
    general = [General(when, when, when) for when in ("500 km", "next day", "50 km", "hot")]
    assert [each.when for each in rechecks([], DAY, None, general)] == ["hot", "next day", "50 km", "500 km"]


def test_a_day_that_is_past_is_late_and_today_is_not() -> None:
    [hot] = rechecks([], DAY, None, [General("k", "look", "hot")])
    assert not is_late(hot, DAY)
    assert is_late(hot, date(2032, 1, 1))
    [far] = rechecks([], DAY, None, [General("k", "look", "500 km")])
    assert not is_late(far, date(2040, 1, 1))


def test_a_text_without_a_distance_names_none() -> None:
    assert read_km("hot") is None


def test_a_sheet_that_asks_twice_gets_two_of_different_names() -> None:
    found = rechecks([group("hot, then after 500 km")], DAY, None)
    assert [(each.due, each.after_km) for each in found] == [(DAY, None), (None, 500.0)]
    assert len({each.key for each in found}) == 2
