"""Angles as printed: degrees, parts of a turn, flats."""

import pytest

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
