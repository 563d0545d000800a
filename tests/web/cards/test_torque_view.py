"""How a printed torque is shown: its stages large, the print word for word, what is converted marked so."""

import pytest

from app.core.items.items import Fastener
from app.web.cards.torque_view import view


@pytest.mark.parametrize(
    ("printed", "line", "is_print"),
    [
        ("25 N·m", "25 N·m", True),
        ("8-12 Nm", "8–12 N·m", False),
        ("70 in-lb", "70 lb·in", False),
        ("35 lb·ft + 60° + 60°", "35 lb·ft + 60° + 60°", True),
        ("10 N·m, then 22 N·m", "10 N·m then 22 N·m", False),
        ("max. 9 lb-in", "max. 9 lb·in", False),
        ("36 N·m (27 lb-ft)", "36 N·m", False),
        ("60 N·m, then loosen 90°", "60 N·m then loosen 90°", False),
    ],
)
def test_the_stages_stand_large_as_they_were_read_and_it_is_known_whether_that_is_the_print(
    printed: str, line: str, is_print: bool
) -> None:
    shown = view(Fastener(torque=printed))

    assert (shown.line, shown.is_print, shown.print) == (line, is_print, printed)


def test_every_unit_of_torque_has_its_own_box() -> None:
    shown = view(Fastener(torque="20 lb-in, then 35 lb-ft + 90°"))

    assert [stage.unit for stage in shown.stages] == ["lb·in", "lb·ft", ""]


def test_what_cannot_be_read_stands_as_it_is_printed_and_says_nothing_else() -> None:
    shown = view(Fastener(torque="like the manifold"))

    assert (shown.print, shown.stages, shown.read_as, shown.converted) == ("like the manifold", (), "", "")


def test_a_chosen_value_keeps_the_whole_print() -> None:
    shown = view(
        Fastener(torque="Front 30 N·m", torque_print="Front 30 N·m, rear 40 N·m", torque_note="cold")
    )

    assert (shown.print, shown.chosen) == ("Front 30 N·m, rear 40 N·m", "Front 30 N·m")
    assert (shown.read_as, shown.note) == ("30 N·m", "cold")


def test_what_stands_beside_the_print_says_when_there_is_no_reading() -> None:
    assert view(Fastener(torque="70 in-lb")).said == "read as 70 lb·in"
    assert view(Fastener(torque="like the manifold")).said == "cannot be read"
    assert view(Fastener(torque_print="Front 30 N·m, rear 40 N·m")).said == "no value chosen yet"


@pytest.mark.parametrize(
    ("printed", "converted"),
    [
        ("25 N·m", "≈18.4 lb·ft"),
        ("35 lb·ft, then 60°", "≈47.5 N·m"),
        ("70 lb·in", "7.9 N·m"),
        ("10 N·m, then 22 N·m", "7.4 lb·ft, then ≈16.2 lb·ft"),
        ("min. 25 N·m", "min. ≈18.4 lb·ft"),
    ],
)
def test_what_is_converted_is_in_another_unit_than_the_print(printed: str, converted: str) -> None:
    """Computed with 1 lbf·ft = 1.355 818 N·m and 1 lbf·in = 0.112 985 N·m (NIST SP 811, B.8).

    Where two digits would be off by more than half a percent, three stand behind `≈`.
    """
    assert view(Fastener(torque=printed)).converted == converted
