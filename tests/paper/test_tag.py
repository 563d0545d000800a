from itertools import combinations

import pytest

from app.paper.tag import Box, TagLayout, tag_layout

SIZES = [(48.5, 25.4), (70.0, 36.0), (52.5, 29.7), (30.0, 15.0)]
MODULES, DPI = 29, 300


def layout(width: float, height: float, half: str | None = None) -> TagLayout:
    return tag_layout(width, height, MODULES, DPI, half)


def parts(found: TagLayout) -> list[Box]:
    return [box for box in (found.ring, found.block, found.code, found.square) if box]


def overlap(one: Box, other: Box) -> bool:
    return (
        one.left < other.left + other.width
        and other.left < one.left + one.width
        and one.bottom < other.bottom + other.height
        and other.bottom < one.bottom + one.height
    )


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("half", [None, "A", "B"])
def test_every_part_stands_on_the_label_and_on_no_other(size: tuple[float, float], half: str | None) -> None:
    width, height = size
    found = layout(width, height, half)

    for box in parts(found):
        assert 0 <= box.left < box.left + box.width <= width
        assert 0 <= box.bottom < box.bottom + box.height <= height
    assert not [pair for pair in combinations(parts(found), 2) if overlap(*pair)]


@pytest.mark.parametrize("size", SIZES)
def test_half_b_faces_its_a_across_the_cut(size: tuple[float, float]) -> None:
    a, b = layout(*size, "A"), layout(*size, "B")

    for one, other in zip(parts(a), parts(b), strict=True):
        assert other.left == pytest.approx(size[0] - one.left - one.width)
        assert (other.bottom, other.width, other.height) == (one.bottom, one.width, one.height)


def test_a_tag_without_halves_has_more_room_for_a_written_number() -> None:
    assert layout(48.5, 25.4).block.width > layout(48.5, 25.4, "A").block.width


def test_a_label_too_small_for_the_square_has_text_only_and_a_larger_one_the_square() -> None:
    assert layout(30.0, 15.0).square is None
    assert layout(70.0, 36.0).square is not None
