"""What is asked where a critical thing does not go back as it came off."""

from dataclasses import replace
from typing import Any

import pytest

from app.core.gates.departures import departures
from app.core.gates.facts import Acceptance
from app.core.items.kinds import Act
from tests.core.gates.ledgers import facts
from tests.core.ledger.standing import item, stands

STRAP = stands(item(item_id="s", critical=True), Act.UNUSED)
TIPS = STRAP.state.tips


def accepted(
    person: str, *, owner: bool = False, reason: str = "none here", day: str = "2026-05-01", **over: Any
) -> Acceptance:
    return Acceptance("s", person, owner, reason, over.pop("seen", TIPS), day, **over)


@pytest.mark.parametrize(
    ("said", "missing"),
    [
        ([], ("owner", "reason", "second-person")),
        ([accepted("Ben")], ("owner", "reason", "second-person")),
        ([accepted("Ada", owner=True, reason=" ")], ("reason", "second-person")),
        ([accepted("Ada", owner=True)], ("second-person",)),
        ([accepted("Ada", owner=True), accepted("Ben")], ()),
        ([accepted("Ada", owner=True), accepted("Ada", alone=True)], ("second-person",)),
        ([accepted("Ada", owner=True), accepted("Ada", alone=True, day="2026-05-02")], ()),
        ([accepted("Ada", owner=True), accepted("Ben", seen=("old",))], ("second-person",)),
    ],
)
def test_a_critical_thing_left_away_needs_the_owner_a_reason_and_a_second_person(
    said: list[Acceptance], missing: tuple[str, ...]
) -> None:
    (found,) = departures(facts(STRAP, acceptances=tuple(said)))

    assert (found.what, found.missing) == ("unused", missing)
    assert found.alone is (len(said) == 2 and said[1].alone and not missing)


def test_what_is_no_longer_critical_is_listed_and_what_never_was_is_not() -> None:
    line = stands(item(item_id="s"), Act.OFF, Act.SEATED, Act.LATCHED, Act.ROUTED)

    assert departures(facts(line)) == ()
    assert [each.what for each in departures(facts(line, once_critical=frozenset({"s"})))] == ["not_critical"]


def test_a_critical_thing_that_is_recorded_as_another_kind_by_now_is_listed() -> None:
    strap = item(item_id="s", critical=True)
    line = stands(replace(strap, critical_as="connection"), Act.OFF)
    assert departures(facts(line)) == ()
    other = stands(replace(strap, critical_as="part"), Act.OFF)
    assert [each.what for each in departures(facts(other))] == ["other_kind"]
