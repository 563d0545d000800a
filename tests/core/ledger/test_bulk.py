"""Marking the rest of a zone never takes what is to be done one by one."""

import pytest

from app.core.items.items import Connection, Item
from app.core.items.kinds import Act, Kind
from app.core.ledger.bulk import choices
from tests.core.items.lines import mark, say
from tests.core.ledger.standing import Stands, item, known, stands


@pytest.mark.parametrize(
    ("kind", "acts", "act"),
    [
        (Kind.CONNECTION, (Act.OFF,), Act.SEATED),
        (Kind.CONNECTION, (Act.OFF, Act.SEATED), Act.LATCHED),
        (Kind.FASTENER, (Act.OFF,), Act.PLACED),
        (Kind.FASTENER, (Act.OFF, Act.PLACED), Act.HAND_TIGHT),
        (Kind.PART, (Act.OFF,), Act.PLACED),
        (Kind.LOCATOR, (Act.OFF,), Act.COUNTED_IN),
        (Kind.TEMPORARY, (Act.FITTED,), Act.OUT),
        (Kind.FLUID, (Act.DRAINED,), Act.FILLED),
    ],
)
def test_the_next_rung_and_no_more(kind: Kind, acts: tuple[Act, ...], act: Act) -> None:
    [choice] = choices([stands(item(kind), *acts)])
    assert (choice.act, choice.refused) == (act, "")


UNDECIDED = say("d", "dispose", {"destiny": "undecided"}, after=["0"])
HALVES = item(Kind.CONNECTION, detail=known(Kind.CONNECTION, both_halves=True))


@pytest.mark.parametrize(
    ("line", "refused"),
    [
        (stands(item(Kind.PART, critical=True), Act.OFF), "critical"),
        (stands(item(Kind.FASTENER), Act.OFF, Act.PLACED, Act.HAND_TIGHT), "value"),
        (stands(item(Kind.PART), Act.OFF, Act.ASIDE), "aside"),
        (stands(item(Kind.CONNECTION), Act.LOOSENED), "aside"),
        (stands(item(Kind.FINDING), Act.RAISED), "decision"),
        (stands(HALVES, Act.OFF, Act.SEATED), "halves"),
        (stands(item(Kind.PART), Act.OFF, lines=(UNDECIDED,)), "destiny"),
        (stands(item(Kind.PART), lines=(mark("a", Act.OFF), mark("b", Act.PLACED))), "disagree"),
    ],
)
def test_what_wants_a_look_of_its_own_is_refused(line: Stands, refused: str) -> None:
    [choice] = choices([line])
    assert (choice.act, choice.refused) == (None, refused)


def test_what_is_closed_is_not_in_the_list() -> None:
    assert choices([stands(item(Kind.PART), Act.OFF, Act.PLACED)]) == ()


@pytest.mark.parametrize(
    "it", [item(kind, critical=True) for kind in Kind if kind not in {Kind.TEMPORARY, Kind.FINDING}]
)
def test_no_critical_thing_of_any_kind_is_closed_with_its_zone(it: Item) -> None:
    assert all(
        choice.act is None
        for choice in choices([stands(it, Act.OFF if it.kind is not Kind.FLUID else Act.DRAINED)])
    )
    assert isinstance(HALVES.detail, Connection)


def test_a_group_of_which_one_bolt_is_only_loosened_is_refused() -> None:
    two = item(Kind.FASTENER, n=2)
    one_loose = stands(two, lines=(mark("a", Act.OFF, pos=[1]), mark("b", Act.LOOSENED, pos=[2])))

    [choice] = choices([one_loose])
    assert (choice.act, choice.refused) == (None, "aside")


def test_what_can_be_marked_comes_first_then_by_number() -> None:
    lines = [
        stands(item(Kind.PART, "1", critical=True), Act.OFF),
        stands(item(Kind.PART, "3"), Act.OFF),
        stands(item(Kind.PART, "2"), Act.OFF),
    ]
    assert [choice.line.item.number for choice in choices(lines)] == [2, 3, 1]
