"""What a person does with a reading: choose, confirm, compare."""

import pytest

from app.core.torque.choices import choices_of, says_the_same, stands_unasked


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Front 33 N·m, rear 44 N·m", ("Front 33 N·m", "rear 44 N·m")),
        ("5 Nm (dry), 7 Nm (greased)", ("5 Nm (dry)", "7 Nm (greased)")),
        ("33 N·m or 75°", ("33 N·m", "75°")),
        ("Head bolts: 20 Nm + 90°; manifold 25 Nm", ("Head bolts: 20 Nm + 90°", "manifold 25 Nm")),
        ("25 N·m", ()),
        ("110 N·m (alloy: 130 N·m)", ()),
        ("M6 1 N·m, M8 5", ()),
    ],
)
def test_alternatives_are_kept_with_their_texts_for_a_person_to_choose(
    text: str, parts: tuple[str, ...]
) -> None:
    assert tuple(choice.text for choice in choices_of(text)) == parts


def test_an_old_reading_stays_where_the_new_one_says_the_same_in_plain_form() -> None:
    assert says_the_same("25 N·m; 90°", "Tighten to 25 N·m, then turn 90°")
    assert stands_unasked("25 N·m; 90°", "Tighten to 25 N·m, then turn 90°")
    assert not says_the_same("25 N·m; 90°", "25 N·m, then turn back 90°")
    assert not says_the_same("25 N·m", "25 N·m (oiled)")
    assert says_the_same("25 N·m (oiled)", "25 N·m (oiled)")
    assert not stands_unasked("25 N·m (oiled)", "25 N·m (oiled)")
    assert not says_the_same("25 N·m", "banana")
