import pytest

from app.web.site.tape import Tape, tape_of


@pytest.mark.parametrize(
    ("total", "still_open", "tape"),
    [
        (0, 0, None),
        (120, 120, Tape(120, 0, 1)),
        (121, 0, Tape(121, 121, 2)),
        (15_000, 1, Tape(15_000, 14_999, 125)),
    ],
)
def test_a_tick_stands_for_one_thing_as_long_as_ticks_can_be_told_apart(
    total: int, still_open: int, tape: Tape | None
) -> None:
    assert tape_of(total, still_open) == tape


def test_the_tape_says_how_far_it_is_in_words() -> None:
    assert Tape(134, 31, 2).text == "31 of 134 done"
