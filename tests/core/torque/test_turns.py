"""Parts of a turn in words."""

import pytest

from tests.core.torque.printed import said


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("one twelfth of a turn", "30°"),
        ("Viertelumdrehung", "90°"),
        ("eine halbe Umdrehung", "180°"),
        ("un quart de tour", "90°"),
        ("un demi-tour", "180°"),
        ("media vuelta", "180°"),
        ("un octavo de vuelta", "45°"),
        ("mezzo giro", "180°"),
        ("1/4 di giro", "90°"),
        ("een kwartslag", "90°"),
        ("een halve slag", "180°"),
        ("meia volta", "180°"),
        ("ett kvarts varv", "90°"),
        ("ett halvt varv", "180°"),
        ("two further turns of 90°", "90°; 90°"),
        ("one and a quarter turns", "450°"),
    ],
)
def test_a_fraction_word_multiplies_the_turn_behind_it(text: str, degrees: str) -> None:
    assert said(text) == degrees
