"""Angles as printed: degrees, parts of a turn, flats."""

from decimal import Decimal

import pytest

from app.core.torque.angles import read_angles
from app.core.torque.bands import Band
from app.core.torque.values import StageKind
from tests.core.torque.printed import read


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("¼ turn", 90),
        ("three quarters of a turn", 270),
        ("one and a half turns", 540),
        ("a full turn", 360),
        ("2 flats", 120),
        ("a further 90 degrees", 90),
        ("180° (1/2 turn)", 180),
        ("1/3 to 1/2 turn", 150),
        ("1/6 turn", 60),
        ("85° to 95°", 90),
        ("90° (1/4) turn", 90),
    ],
)
def test_an_angle_may_be_printed_as_part_of_a_turn(text: str, degrees: int) -> None:
    (stage,) = read(text).stages
    assert stage.kind is StageKind.ANGLE
    assert stage.degrees
    assert stage.degrees.target == degrees


def test_a_turn_several_times_is_as_many_angles() -> None:
    quarter = Band(Decimal(90), Decimal(90))
    assert read_angles("2 x 90°") == (quarter, quarter)
    assert read_angles("90° x 3") == (quarter, quarter, quarter)


@pytest.mark.parametrize(("text", "degrees"), [("1/6 turn", 60), ("1/3 turn", 120), ("5 flats", 300)])
def test_a_part_of_a_turn_leaves_no_last_digits_behind(text: str, degrees: int) -> None:
    assert read_angles(text) == (Band(Decimal(degrees), Decimal(degrees)),)


@pytest.mark.parametrize("text", ["1/0 turn", "90° - 45°"])
def test_what_is_no_angle_or_can_be_two_is_not_read(text: str) -> None:
    with pytest.raises((ValueError, ArithmeticError)):
        read_angles(text)
