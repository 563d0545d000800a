"""The readings that a person is to confirm: what is kept with a torque, and which lines a gate names."""

from dataclasses import replace

import pytest

from app.core.items.items import Detail, Fastener, Part
from app.core.items.kinds import Act, Kind
from app.core.tightening.readings import readings_to_confirm, unconfirmed_to_tighten, with_reading_kept
from tests.core.items.lines import say, undo
from tests.core.ledger.standing import Stands, item, stands

LEAST = "min. 25 N·m"
GROUP = with_reading_kept(Fastener(torque=LEAST, one_time="no"))
CONFIRM = say("c", "confirm", {"torque": LEAST, "reading": LEAST})


def bolts(*acts: Act, group: Detail = GROUP, confirmed: bool = False) -> Stands:
    return stands(item(Kind.FASTENER, detail=group), *acts, lines=(CONFIRM,) if confirmed else ())


def test_what_a_torque_is_read_as_is_kept_when_its_text_changes_and_only_then() -> None:
    first = with_reading_kept(Fastener(torque="25 N·m"))
    earlier = Fastener(torque="25 N·m", torque_read="24 N·m")

    assert isinstance(first, Fastener)
    assert first.torque_read == "25 N·m"
    assert with_reading_kept(Fastener(torque="25 N·m", head="hex"), earlier) == replace(earlier, head="hex")
    other = with_reading_kept(Fastener(torque="30 N·m"), earlier)
    assert other == Fastener(torque="30 N·m", torque_read="30 N·m")
    assert with_reading_kept(Part()) == Part()


def test_a_folder_without_kept_readings_gets_none_by_an_edit_of_other_words() -> None:
    assert with_reading_kept(Fastener(torque=LEAST, head="hex"), Fastener(torque=LEAST)) == Fastener(
        torque=LEAST, head="hex"
    )


def test_the_bench_lists_every_unconfirmed_reading_and_the_gate_those_that_go_back() -> None:
    on, off, done = bolts(), bolts(Act.OFF), bolts(Act.OFF, confirmed=True)
    plain = bolts(Act.OFF, group=Fastener(torque="25 N·m"))

    assert readings_to_confirm([on, off, done, plain]) == (on, off)
    assert unconfirmed_to_tighten([on, off, done, plain]) == (off,)


def test_the_gate_does_not_name_what_stays_off() -> None:
    left = stands(
        item(Kind.FASTENER, detail=GROUP),
        Act.OFF,
        lines=(say("d", "dispose", {"destiny": "left_out"}, after=["0"]),),
    )

    assert unconfirmed_to_tighten([left]) == ()


def test_a_confirmation_taken_back_does_not_count() -> None:
    lines = (CONFIRM, undo("u", "c", after=["c"]))
    assert readings_to_confirm([stands(item(Kind.FASTENER, detail=GROUP), lines=lines)])


@pytest.mark.parametrize(
    ("kept", "text", "reopens"),
    [
        (LEAST, LEAST, False),
        ("25 N·m", LEAST, True),
        ("", LEAST, True),
        ("", "25 N·m", False),
        ("", "60 N·m, then loosen 90°", True),
        ("30 N·m; 40 N·m", "Front 30 N·m, rear 40 N·m", True),
    ],
)
def test_a_tightened_line_reopens_where_its_torque_may_have_been_read_otherwise(
    kept: str, text: str, reopens: bool
) -> None:
    group = Fastener(torque=text, torque_read=kept, one_time="no")
    codes = [reason.code for reason in bolts(Act.OFF, Act.TIGHT, group=group).reasons]

    assert ("reading-changed" in codes) is reopens
    assert "reading-changed" not in [r.code for r in bolts(Act.OFF, group=group).reasons]


def test_a_reopened_line_closes_when_its_reading_is_confirmed() -> None:
    group = Fastener(torque=LEAST, torque_read="25 N·m", one_time="no")

    assert bolts(Act.OFF, Act.TIGHT, group=group).reasons
    assert not bolts(Act.OFF, Act.TIGHT, group=group, confirmed=True).reasons
