import pytest

from app.core.items.items import Fastener, Item
from app.core.items.kinds import Kind
from app.core.threads.strength import FastenerKind
from app.core.tightening.parsed import holes_of, parsed


def test_what_a_group_says_is_read_once() -> None:
    group = Fastener(thread="M8x1.25x30", torque="25 N·m")

    assert parsed(group) is parsed(Fastener(thread="M8x1.25x30", torque="25 N·m"))
    assert parsed(group).torque is parsed(group).torque
    assert parsed(group).thread is parsed(group).thread
    assert parsed(group).torque is not None
    assert parsed(group).thread is not None


@pytest.mark.parametrize(
    ("torque", "is_read", "is_wrong"), [("", False, False), ("25 N·m", True, False), ("tight", False, True)]
)
def test_a_torque_is_read_missing_or_wrong(torque: str, is_read: bool, is_wrong: bool) -> None:
    found = parsed(Fastener(torque=torque))

    assert (found.torque is not None, found.torque_problem is not None) == (is_read, is_wrong)


def test_the_final_stage_is_the_last_in_a_unit_of_torque() -> None:
    final = parsed(Fastener(torque="20 N·m then 50 N·m")).final

    assert final is not None
    assert final.torque is not None
    assert final.torque.target_nm == pytest.approx(50)
    assert parsed(Fastener(torque="")).final is None
    assert parsed(Fastener(torque="turn 90°")).final is None


def test_a_thread_that_cannot_be_read_is_none() -> None:
    assert parsed(Fastener(thread="thick")).thread is None


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        ("nut, locking", FastenerKind.NUT),
        ("hex flange nuts", FastenerKind.NUT),
        ("Nut", FastenerKind.NUT),
        ("hex flange", FastenerKind.BOLT),
        ("stud with nut", FastenerKind.BOLT),
        ("nut and bolt", FastenerKind.BOLT),
        ("walnut", FastenerKind.BOLT),
        ("", FastenerKind.BOLT),
    ],
)
def test_a_class_is_a_nuts_where_the_head_is_a_nut_and_nothing_else(head: str, kind: FastenerKind) -> None:
    assert parsed(Fastener(head=head)).kind is kind


def test_holes_are_as_many_as_the_group_has_and_other_kinds_have_none() -> None:
    group = Item("i", 1, Kind.FASTENER, n=3, detail=Fastener(lengths="1-2: 25; 3: 45"))

    assert [hole.length_mm for hole in holes_of(group)] == [25, 25, 45]
    assert holes_of(Item("i", 1, Kind.CONNECTION)) == ()
    assert holes_of(group) is holes_of(group)
