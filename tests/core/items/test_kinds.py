import pytest

from app.core.items.kinds import BESIDE, CLOSES, LADDER, Act, Kind, knows, opening_act, rung, rungs


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_has_a_ladder_a_closing_rung_on_it_and_states_beside_it(kind: Kind) -> None:
    assert len(set(LADDER[kind])) == len(LADDER[kind])
    assert CLOSES[kind] in LADDER[kind]
    assert not set(BESIDE[kind]) & set(LADDER[kind])


@pytest.mark.parametrize("kind", Kind)
def test_the_second_look_is_the_last_rung_wherever_there_is_one(kind: Kind) -> None:
    if Act.CHECKED in LADDER[kind]:
        assert LADDER[kind][-1] is Act.CHECKED
        assert rung(kind, CLOSES[kind]) == len(LADDER[kind]) - 2


@pytest.mark.parametrize("kind", Kind)
def test_a_state_beside_the_ladder_is_as_open_as_its_first_rung(kind: Kind) -> None:
    assert {rung(kind, act) for act in (opening_act(kind), *BESIDE[kind])} == {0}


def test_a_kind_knows_its_own_acts_only() -> None:
    assert knows(Kind.FASTENER, Act.TIGHT)
    assert knows(Kind.PART, Act.ASIDE)
    assert not knows(Kind.FASTENER, Act.ASIDE)
    assert not knows(Kind.FLUID, Act.TIGHT)


def test_rungs_that_an_item_has_not_got_are_left_out() -> None:
    assert Act.STAGE not in rungs(Kind.FASTENER)
    assert Act.STAGE in rungs(Kind.FASTENER, stages=2)
    assert rungs(Kind.FLUID, bleeds=False) == (Act.DRAINED, Act.FILLED, Act.CHECKED)
    assert Act.BLED in rungs(Kind.FLUID)
