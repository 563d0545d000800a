"""How a printed torque is shown: the print large, the rest small and marked as derived."""

import pytest

from app.core.items.items import Fastener
from app.web.cards.torque_view import next_target, view


@pytest.mark.parametrize(
    ("printed", "value", "unit", "angle"),
    [
        ("25 N·m", "25", "N·m", ""),
        ("8-12 Nm", "8–12", "N·m", ""),
        ("70 in-lb", "70", "lb·in", ""),
        ("35 lb·ft + 60° + 60°", "35", "lb·ft", "60° + 60°"),
    ],
)
def test_a_plain_torque_is_shown_as_value_and_unit_with_its_turns_behind(
    printed: str, value: str, unit: str, angle: str
) -> None:
    shown = view(Fastener(torque=printed))
    assert (shown["value"], shown["unit"], shown["angle"]) == (value, unit, angle)


@pytest.mark.parametrize(
    ("printed", "derived"),
    [("10 N·m, then 22 N·m", "7.4 lb·ft, then ≈16.2 lb·ft"), ("25", ""), ("like the manifold", "")],
)
def test_several_stages_and_what_cannot_be_read_stand_as_they_are_printed(printed: str, derived: str) -> None:
    shown = view(Fastener(torque=printed))
    assert dict(shown) == {"value": printed, "unit": "", "angle": "", "derived": derived}


@pytest.mark.parametrize(
    ("printed", "derived"),
    [
        ("25 N·m", "≈18.4 lb·ft"),
        ("35 lb·ft, then 60°", "≈47.5 N·m"),
        ("70 lb·in", "7.9 N·m"),
        ("10 N·m, then 22 N·m", "7.4 lb·ft, then ≈16.2 lb·ft"),
    ],
)
def test_what_is_derived_is_in_another_unit_than_the_print(printed: str, derived: str) -> None:
    """Computed with 1 lbf·ft = 1.355 818 N·m and 1 lbf·in = 0.112 985 N·m (NIST SP 811, B.8).

    Where two digits would be off by more than half a percent, three stand behind `≈`.
    """
    assert view(Fastener(torque=printed))["derived"] == derived


@pytest.mark.parametrize(
    ("printed", "target"),
    [("10 N·m, then 22 N·m", "22"), ("35 lb·ft + 60°", "35"), ("8-12 N·m", ""), ("90°", ""), ("", "")],
)
def test_the_number_to_reach_is_filled_in_only_where_the_print_has_one(printed: str, target: str) -> None:
    assert next_target(Fastener(torque=printed)) == target
