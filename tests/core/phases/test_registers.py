"""What a milestone makes true of where units are, what carries them and which are mated."""

import pytest

from app.core.phases.registers import Place
from tests.core.phases.told import OUT, fold


def test_at_first_the_old_engine_is_in_and_mated_and_the_new_one_on_the_stand() -> None:
    phases = fold()

    assert phases.place("old") is Place.IN
    assert phases.place("new") is Place.BENCH
    assert phases.is_mated("old", "gearbox") is True
    assert phases.is_mated("new", "gearbox") is False
    assert (phases.power_on, phases.first_start, phases.moved) == (False, False, False)


@pytest.mark.parametrize(
    ("said", "place", "hook"),
    [
        (("hook_up old",), Place.IN, True),
        (("hook_up old", "rise old"), Place.HANGING, True),
        (OUT, Place.BENCH, False),
        ((*OUT, "left old"), Place.GONE, False),
    ],
)
def test_a_milestone_says_where_the_engine_is_and_what_carries_it(
    said: tuple[str, ...], place: Place, hook: bool
) -> None:
    state = fold(*said).states["old"]

    assert (state.place, state.on_hook) == (place, hook)


def test_an_engine_that_rises_alone_is_apart_from_the_gearbox_that_stays() -> None:
    assert fold("rise old").is_mated("old", "gearbox") is False
    assert fold("rise old gearbox").is_mated("old", "gearbox") is True
