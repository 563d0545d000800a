import pytest

from app.core.problem import Problem
from app.core.threads.positions import (
    Hole,
    Position,
    hole_steps,
    is_mixed,
    length_problems,
    positions_of,
    read_holes,
    read_lengths,
)

COVER = (
    Position(1, 30),
    Position(2, 30),
    Position(3, 45, Hole.BLIND),
    Position(4, 60, Hole.WET),
)


def test_two_swapped_bolts_are_one_warning_that_names_both_holes() -> None:
    (problem,) = length_problems(COVER, {1: 45, 2: 30, 3: 30, 4: 60})
    assert problem.code == "lengths-swapped"
    assert "holes 1 and 3" in problem.message
    assert "hole 1 holds 45 mm where 30 belongs and can bottom out" in problem.message


def test_a_swap_is_found_before_the_other_holes_are_filled() -> None:
    (problem,) = length_problems(COVER, {3: 60, 4: 45})
    assert problem.where == "positions 3 and 4"


def test_a_wrong_bolt_without_a_partner_names_its_hole() -> None:
    long, short = length_problems(COVER, {1: 35, 4: 50})
    assert (long.where, short.where) == ("position 1", "position 4")
    assert "bottom out" in long.message
    assert "bottom out" not in short.message


def test_three_bolts_in_a_ring_name_each_hole() -> None:
    found = length_problems(COVER, {1: 45, 3: 60, 4: 30})
    assert [problem.where for problem in found] == ["position 1", "position 3", "position 4"]


def test_each_hole_is_named_in_one_swap_only() -> None:
    found = length_problems(COVER, {1: 45, 2: 45, 3: 30})
    assert [problem.where for problem in found] == ["positions 1 and 3", "position 2"]


def test_the_right_lengths_and_unknown_ones_are_no_problem() -> None:
    assert length_problems(COVER, {1: 30, 2: 30.3, 3: 45, 4: 60}) == ()
    assert length_problems((Position(1),), {1: 99}) == ()


def test_blind_and_wet_holes_ask_for_their_step() -> None:
    blind, wet = hole_steps(COVER)
    assert "Hole 3" in blind
    assert "clean and dry" in blind
    assert "Hole 4" in wet
    assert "sealant" in wet


def test_a_group_is_mixed_when_lengths_differ() -> None:
    assert is_mixed(COVER)
    assert not is_mixed(COVER[:2])
    assert not is_mixed((Position(1),))


def test_lengths_are_read_by_ranges_and_lists_of_holes() -> None:
    assert read_lengths("1-3: 25; 4, 6: 45 mm; 5: 30,5", 6) == {1: 25, 2: 25, 3: 25, 4: 45, 6: 45, 5: 30.5}
    assert read_lengths("", 6) == {}


@pytest.mark.parametrize(
    "text", ["25", "1-9: 25", "0: 25", "3-1: 25", "1: 0", "1: 2000", "1: x", "1:25; 1:30", "1:nan"]
)
def test_lengths_that_cannot_be_read_name_the_field(text: str) -> None:
    found = read_lengths(text, 6)
    assert isinstance(found, Problem)
    assert found.where == "lengths"


def test_blind_and_wet_holes_are_read_alone_and_by_number() -> None:
    assert read_holes("blind: 1 2; wet: 4", 4) == {1: Hole.BLIND, 2: Hole.BLIND, 4: Hole.WET}
    assert read_holes("wet", 2) == {1: Hole.WET, 2: Hole.WET}
    found = read_holes("deep: 1", 4)
    assert isinstance(found, Problem)
    assert found.where == "holes"


def test_several_holes_of_a_sort_are_one_sentence() -> None:
    (said,) = hole_steps(positions_of("", "blind: 1-3", 4))
    assert said.startswith("Holes 1, 2, 3, each: clean and dry")


def test_holes_that_are_named_beyond_the_count_are_there_too() -> None:
    assert [position.number for position in positions_of("", "", 2)] == [1, 2]
    assert [position.number for position in positions_of("1-3: 30", "", 0)] == [1, 2, 3]
