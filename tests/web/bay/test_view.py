"""Words on the bay's drawing fit their zones."""

import pytest

from app.web.bay.view import count_width, label_lines

ZONE = {"label_at": [100, 50], "label_width": 72}


def test_a_label_is_broken_at_words_and_stands_about_the_middle() -> None:
    assert label_lines("Battery, fuse box", ZONE) == [("Battery,", 47.0), ("fuse box", 62.0)]
    assert label_lines("Radiator", ZONE) == [("Radiator", 54.5)]


def test_a_long_word_stays_whole() -> None:
    assert [line for line, _ in label_lines("Crossmember, rack", ZONE)] == ["Crossmember,", "rack"]


@pytest.mark.parametrize(("count", "whole"), [(1, 26.0), (12, 31.0), (1234, 50.0)])
def test_the_plate_grows_with_its_count(count: int, whole: float) -> None:
    assert count_width(count) == (whole, whole / 2)
